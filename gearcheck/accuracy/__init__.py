"""Tolerances, measured deviations and class."""
