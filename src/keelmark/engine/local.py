"""Threads of this machine."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ThreadPoolExecutor, wait
from itertools import islice
from typing import TypeVar

__all__ = ["on_threads"]

Piece = TypeVar("Piece")
Result = TypeVar("Result")


def on_threads(
    task: Callable[[Piece], Result], pieces: Iterable[Piece], workers: int | None = None
) -> Iterator[Result]:
    """Work all pieces out on threads, each once; what is done comes as it is done.

    No more pieces are begun than there are threads and results that wait to be taken, so that memory does not grow with
    the number of pieces.

    Parameters
    ----------
    task : function
        What to do with a piece.
    pieces : iterable
        On what.
    workers : int, optional
        How many at once; as many as the machine has processors if not given. Memory grows with it.
    """
    most, left = workers or os.cpu_count() or 1, iter(pieces)
    with ThreadPoolExecutor(most) as pool:
        under_way: set[Future[Result]] = {pool.submit(task, piece) for piece in islice(left, most + 1)}
        try:
            while under_way:
                done, under_way = wait(under_way, return_when=FIRST_COMPLETED)
                under_way |= {pool.submit(task, piece) for piece in islice(left, len(done))}
                while done:
                    yield done.pop().result()
        finally:
            for future in under_way:
                future.cancel()
