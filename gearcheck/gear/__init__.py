"""Geometry of rack, tooth and pair."""
