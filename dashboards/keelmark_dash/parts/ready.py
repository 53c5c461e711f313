"""Content that is the same for everybody, made ready once: as the plain values that travel to the browser."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from plotly.io.json import to_json_plotly

__all__ = ["ready"]


def ready(components: Sequence[Any]) -> list[dict[str, Any]]:
    """Components as plain values, which need not be gone through one by one in each answer."""
    plain: list[dict[str, Any]] = json.loads(to_json_plotly(list(components)))
    return plain
