"""Load cycles: how often a tooth is loaded in its life."""
