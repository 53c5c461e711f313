"""A line of progress for anything that may take more than a moment; silent where a machine reads."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import TypeVar

__all__ = ["counted", "told"]

_Thing = TypeVar("_Thing")


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


def counted(things: Sequence[_Thing], words: str, *, quiet: bool) -> Iterator[_Thing]:
    """Things one after another, with a bar on standard error that shows how many are done; silent where told so."""
    if quiet:
        yield from things
        return
    from rich.console import Console
    from rich.progress import track

    yield from track(things, description=words, console=Console(stderr=True), transient=True)
