"""One file for each published table, with its source and status."""
