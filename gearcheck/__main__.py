"""``python -m gearcheck``."""

import sys

from gearcheck.cli import main

if __name__ == "__main__":
    sys.exit(main())
