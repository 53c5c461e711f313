"""A line of progress for anything that may take more than a moment; silent where a machine reads."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager

__all__ = ["told"]


@contextmanager
def told(quiet: bool) -> Iterator[Callable[[str], None]]:
    """Give a function that shows what is being done now, on standard error, until the work is over."""
    if quiet:
        yield lambda _: None
        return
    from rich.console import Console
    from rich.progress import Progress, SpinnerColumn, TextColumn, TimeElapsedColumn

    columns = (SpinnerColumn(), TextColumn("{task.description}"), TimeElapsedColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as progress:
        task = progress.add_task("Starting", total=None)
        yield lambda words: progress.update(task, description=words)
