"""Everything in the browser."""
