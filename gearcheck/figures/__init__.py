"""Charts from results."""
