"""Attributes for screen readers, written without quotation marks."""

from __future__ import annotations

from typing import Any

__all__ = ["aria"]


def aria(**said: str) -> dict[str, Any]:
    """`**aria(label="Pages")` gives a component `aria-label="Pages"`."""
    return {f"aria-{name}": value for name, value in said.items()}
