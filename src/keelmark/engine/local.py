"""Threads of this machine."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor, as_completed

from keelmark.engine.work import Done, Work, work_on

__all__ = ["on_threads"]


def on_threads(
    work: Work, buckets: Sequence[int], workers: int | None = None, task: Callable[[Work, int], Done] = work_on
) -> Iterator[Done]:
    """Work all buckets out on threads, each once; what is done comes as it is done.

    Parameters
    ----------
    work : Work
        What to do.
    buckets : sequence of int
        On which buckets.
    workers : int, optional
        How many at once; as many as the machine has processors if not given. Memory grows with it.
    """
    with ThreadPoolExecutor(workers or os.cpu_count() or 1) as pool:
        waiting = [pool.submit(task, work, bucket) for bucket in buckets]
        try:
            for future in as_completed(waiting):
                yield future.result()
        finally:
            for future in waiting:
                future.cancel()
