"""`keelmark read`: what the program understands of a whiteboard text."""

from __future__ import annotations

__all__ = ["read"]


def read() -> None:
    """Read a whiteboard text."""
