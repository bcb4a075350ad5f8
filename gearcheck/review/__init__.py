"""Gear file, the chain of calculations, reserves and what-if; called itself, it reviews one record.

Room and public function carry the same name, so the module answers a call: ``gearcheck.review(record)``.
"""

from __future__ import annotations

import sys
from types import ModuleType
from typing import Any


class _Room(ModuleType):
    def __call__(self, *args: Any, **kwargs: Any) -> Any:
        from gearcheck.review.whole import review

        return review(*args, **kwargs)


sys.modules[__name__].__class__ = _Room
