"""Workers of a Dask cluster: one that is running, or one that is started here for this run.

The scheduler gives the bucket of a worker that died to another one. A bucket that was written twice has the same bytes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import ExitStack
from typing import TYPE_CHECKING, Any

from keelmark.contracts.errors import SettingError
from keelmark.engine.work import Done, Work, work_on

if TYPE_CHECKING:
    from distributed import Client

__all__ = ["on_dask"]

RETRIES = 3
"""How often a bucket is tried again after a fault of its own; the loss of a worker does not count."""


def on_dask(
    work: Work, buckets: Sequence[int], scheduler: str | None = None, workers: int | None = None
) -> Iterator[Done]:
    """Work all buckets out on a cluster; what is done comes as it is done.

    Parameters
    ----------
    work : Work
        What to do; its folders must be the same for every worker.
    buckets : sequence of int
        On which buckets.
    scheduler : str, optional
        Address of a running scheduler such as `tcp://host:8786`; if not given, worker processes are started here.
    workers : int, optional
        How many worker processes to start here; 2 if not given.

    Raises
    ------
    SettingError
        When Dask is not installed, or no scheduler answers.
    """
    with ExitStack() as stack:
        client = _client(stack, scheduler, workers or 2)
        from distributed import as_completed

        told = client.scatter(work, broadcast=True)
        futures = client.map(_task, buckets, work=told, retries=RETRIES, pure=False)
        for future in as_completed(futures):
            yield future.result()


def _task(bucket: int, work: Work) -> Done:
    return work_on(work, bucket)


def _client(stack: ExitStack, scheduler: str | None, workers: int) -> Client:
    try:
        from distributed import Client, LocalCluster
    except ImportError as error:
        raise SettingError(
            "Dask is not installed",
            where="option --engine dask",
            wanted="the library dask with distributed",
            remedy="install it with: pip install 'keelmark[cluster]'; or leave --engine out",
        ) from error
    if scheduler is None:
        cluster: Any = LocalCluster(n_workers=workers, threads_per_worker=1, dashboard_address=None)
        client: Client = stack.enter_context(Client(stack.enter_context(cluster)))
        return client
    try:
        joined: Client = stack.enter_context(Client(scheduler, timeout="10s"))
    except (OSError, ValueError, TimeoutError) as error:
        raise SettingError(
            f"no scheduler answers at {scheduler}",
            where="option --scheduler",
            wanted="the address of a running Dask scheduler, such as tcp://host:8786",
            remedy="start one with `dask scheduler` and workers with `dask worker ADDRESS`",
        ) from error
    return joined
