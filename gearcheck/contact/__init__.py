"""Hertz line contact and the stress below the surface."""
