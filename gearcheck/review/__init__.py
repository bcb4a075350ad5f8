"""Gear file, the chain of calculations, reserves and what-if."""
