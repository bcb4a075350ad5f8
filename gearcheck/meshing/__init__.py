"""Loaded contact of the teeth: compliance, load distribution, transmission error."""
