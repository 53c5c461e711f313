"""The `keelmark` command."""

from keelmark.cli.main import main

__all__ = ["main"]
