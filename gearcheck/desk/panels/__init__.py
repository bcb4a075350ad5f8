"""The parts of a sheet, one a file; what they say comes from the state, and they hold no rules."""
