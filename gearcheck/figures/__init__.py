"""Charts from results."""

from gearcheck.figures.quick_start import import_without_grammars

import_without_grammars()
