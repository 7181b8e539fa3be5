"""A second process that may take half of the work; without one all is done here, with the same answer."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Protocol, TypeVar

T = TypeVar("T")

WORTH = 800
"""Balls of a batch from which half of it is worth sending: the way there and back costs as much as 200."""

Work = Callable[[], T]


class Partner(Protocol):
    """Whoever works besides."""

    def begin(self, work: Work[T]) -> Callable[[], T | None] | None:
        """Have ``work`` begun elsewhere; what is returned waits for its outcome.

        None when nobody is free; an outcome of None when it came to nothing there. ``work`` is a function of
        a module with plain data bound to it, which can be sent to another process.
        """
        ...


def unwatched() -> None:
    """The tick of work that nobody can cancel."""


def begun(partner: Partner | None, work: Work[T]) -> Work[T]:
    """``work``, begun by the ``partner`` if there is one and it is free, else done when it is called for."""
    there = None if partner is None else partner.begin(work)
    return work if there is None else partial(_fetched, there, work)


def _fetched(there: Callable[[], T | None], work: Work[T]) -> T:
    found = there()
    return work() if found is None else found


def both(partner: Partner | None, ours: Work[T], theirs: Work[T]) -> tuple[T, T]:
    """The outcomes of two halves of work; a ``partner`` that is free does the second at the same time."""
    second = begun(partner, theirs)
    return ours(), second()
