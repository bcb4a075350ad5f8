"""Steels, hardness and strength limits."""
