"""Load factors, flank and root stress and safety."""
