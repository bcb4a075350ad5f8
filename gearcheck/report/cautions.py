"""What every page and every export says before any number."""

from __future__ import annotations

CAUTIONS = (
    "Results need checking by a competent person before anyone relies on them.",
    "Calculations and specimen tests do not release a part for service.",
    "The governing code, the authority and licensed practice decide.",
)
"""One sentence each; workbook, notebook and HTML print the same."""
