"""What the exit code of a command means."""

from __future__ import annotations

FINE, FAILS, BAD_INPUT, INTERNAL_ERROR = 0, 1, 2, 3
INTERRUPTED, NOBODY_READS = 130, 141

EXIT_CODES = """\
exit codes: 0 nothing fails at this stage; 1 a requirement fails, or evidence needed at this stage
is missing; 2 the input cannot be used; 3 an internal error.
exit codes of verify: 0 not altered, signed in every role by a key that is known, the same numbers;
1 altered; 2 it cannot be read; 4 not signed as required, or by a key that is not known; 5 the numbers come
out different, or cannot be worked out. Where more than one holds, the first of 1, 4 and 5.
"""
