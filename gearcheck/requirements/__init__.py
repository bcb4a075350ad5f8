"""Requirements, their two answers and the reserve."""
