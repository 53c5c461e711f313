"""One more question before a write is kept: whoever has asked to stop meanwhile is heard, and nothing is written."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar

__all__ = ["at_the_last_moment", "last_moment"]


def _nobody_asks() -> None:
    return None


_ASKED: ContextVar[Callable[[], None]] = ContextVar("keelmark-last-moment", default=_nobody_asks)


@contextmanager
def at_the_last_moment(ask: Callable[[], None]) -> Iterator[None]:
    """Have each write inside ask before it is kept; whatever `ask` raises takes the whole write back."""
    token = _ASKED.set(ask)
    try:
        yield
    finally:
        _ASKED.reset(token)


def last_moment() -> None:
    """Asked by a write when all of it is there and nothing of it is kept yet."""
    _ASKED.get()()
