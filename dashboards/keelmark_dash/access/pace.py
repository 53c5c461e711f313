"""How fast one visitor may ask: so much at once, then so much a second; less for what costs much."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable

__all__ = ["COSTLY", "Pace", "Paces"]

COSTLY = frozenset({
    "parts.take_away:_take", "parts.take_away:_draw", "parts.rights:_archive", "parts.audit_panel:_audit",
    "pages.brief:_everybody_saved", "pages.log_file:_read", "pages.programme_week:_calendar",
})  # fmt: skip
"""Callbacks that take seconds or hand out much."""
_REMEMBERED = 10_000


class Pace:
    """One allowance for each key that fills up again with time.

    Parameters
    ----------
    at_once : int
        How many may be asked without a pause.
    a_second : float
        How many more each second brings, up to `at_once`.
    clock : function
        Gives seconds that never go back.
    """

    def __init__(self, at_once: int, a_second: float, clock: Callable[[], float] = time.monotonic) -> None:
        self._at_once = at_once
        self._a_second = a_second
        self._clock = clock
        self._left: dict[str, tuple[float, float]] = {}
        self._lock = threading.Lock()

    def admits(self, key: str) -> bool:
        """Whether one more may be asked now; it then counts."""
        with self._lock:
            now = self._clock()
            if len(self._left) >= _REMEMBERED:
                self._forget(now)
            left, since = self._left.get(key, (float(self._at_once), now))
            left = min(float(self._at_once), left + (now - since) * self._a_second)
            self._left[key] = (left - 1 if left >= 1 else left, now)
            return left >= 1

    def _forget(self, now: float) -> None:
        """Leave out whoever has the whole allowance again; when nobody has, begin anew."""
        whole = self._at_once / self._a_second
        self._left = {key: held for key, held in self._left.items() if now - held[1] < whole}
        if len(self._left) >= _REMEMBERED:
            self._left.clear()


class Paces:
    """The allowances of a server's visitors: of all questions, and of the costly ones among them.

    `times` makes both as many times as large, for programs that ask everything there is.
    """

    def __init__(self, clock: Callable[[], float] = time.monotonic, times: int = 1) -> None:
        self.all = Pace(1_200 * times, 20.0, clock)
        self.costly = Pace(60 * times, 0.5, clock)
