"""Content that is the same for everybody, made ready once: as the plain values that travel to the browser."""

from __future__ import annotations

import json
from collections import OrderedDict
from collections.abc import Callable, Hashable, Sequence
from threading import Lock
from typing import Any

from plotly.io.json import to_json_plotly

__all__ = ["ReadyOnce", "ready"]


def ready(components: Sequence[Any]) -> list[dict[str, Any]]:
    """Components as plain values, which need not be gone through one by one in each answer."""
    plain: list[dict[str, Any]] = json.loads(to_json_plotly(list(components)))
    return plain


class ReadyOnce:
    """Content that follows from no season and no person, kept ready over every write and for everybody.

    The few latest stay. A key has to hold all that the content follows from; it is held as long as the content is.
    """

    _MOST = 8

    def __init__(self) -> None:
        self._kept: OrderedDict[Hashable, list[dict[str, Any]]] = OrderedDict()
        self._lock = Lock()

    def of(self, key: Hashable, build: Callable[[], Sequence[Any]]) -> list[dict[str, Any]]:
        """The content of a key, built when it is first asked for."""
        with self._lock:
            if key not in self._kept:
                self._kept[key] = ready(build())
                while len(self._kept) > self._MOST:
                    self._kept.popitem(last=False)
            self._kept.move_to_end(key)
            return self._kept[key]
