"""One example of every result of the package: a spur and a helical pair, rated from end to end."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache

from gearcheck.basics.results import Result

factories: list[Callable[[], Iterator[Result]]] = []


def example(factory: Callable[[], Iterator[Result]]) -> Callable[[], Iterator[Result]]:
    """Enter a factory of example results."""
    factories.append(factory)
    return factory


@cache
def results() -> tuple[Result, ...]:
    """Every example result."""
    return tuple(result for factory in factories for result in factory())
