"""Fatigue tests of specimens: what they say of the strength, of the life of the gear, and of a long test."""
