"""Names of files."""

from __future__ import annotations

__all__ = ["file_name"]


def file_name(key: str) -> str:
    """A key as a file name on any system."""
    return "".join(sign if sign.isalnum() or sign in "-_" else "-" for sign in key)
