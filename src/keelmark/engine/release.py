"""Which program worked a figure out, so that figures of another one are never taken for its own."""

from __future__ import annotations

import hashlib
from functools import cache
from importlib.metadata import version
from pathlib import Path

__all__ = ["release_key"]

_PACKAGES = ("catalogue", "contracts", "dose", "engine", "load", "mechanics")


@cache
def release_key() -> str:
    """The versions of keelmark and of the libraries that add up, and a digest of the rules as they are installed."""
    root, told = Path(__file__).parents[1], hashlib.sha256()
    for package in _PACKAGES:
        for file in sorted((root / package).rglob("*")):
            if file.suffix in (".py", ".toml"):
                told.update(str(file.relative_to(root)).encode() + file.read_bytes())
    libraries = " ".join(f"{name} {version(name)}" for name in ("keelmark", "numpy", "polars", "scipy"))
    return f"{libraries} {told.hexdigest()}"
