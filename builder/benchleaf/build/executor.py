"""Work spread over processes: results in the order of the jobs, the same as if it were done here."""

import gc
import multiprocessing
import os
import signal
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from itertools import islice
from multiprocessing.connection import wait
from multiprocessing.reduction import ForkingPickler
from threading import Thread
from types import MappingProxyType
from typing import Any, TypeVar

Job = TypeVar("Job")
Result = TypeVar("Result")

# A process takes half a second to start: fewer jobs than this for each are done sooner here.
FEWEST_EACH = 3
# The renderer's memory grows slowly; a process is replaced by a fresh one after so many jobs.
MOST_EACH = 100
_AHEAD = 2


def processors() -> int:
    """How many processors this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def spread(work: Callable[[Job], Result], jobs: Iterable[Job], count: int, most: int) -> Iterator[Result]:
    """Results of `work` for `count` jobs, in their order, made by at most `most` processes.

    `work`, jobs and results must be things that can be sent to another process. An exception of `work` is raised here.
    """
    workers = min(most, count // FEWEST_EACH)
    if workers < 2:
        yield from map(work, jobs)
        return
    pool = ProcessPoolExecutor(
        workers,
        mp_context=multiprocessing.get_context("spawn"),
        initializer=_begin_work,
        max_tasks_per_child=MOST_EACH,
    )
    try:
        yield from _in_order(pool, work, jobs, workers * _AHEAD)
    except BaseException:
        # Nobody wants what they are working on any more, and it may take them seconds.
        for worker in multiprocessing.active_children():
            worker.terminate()
        raise
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _in_order(
    pool: ProcessPoolExecutor, work: Callable[[Job], Result], jobs: Iterable[Job], ahead: int
) -> Iterator[Result]:
    waiting: deque[tuple[Job, Future[bytes] | None]] = deque()
    coming = iter(jobs)
    while True:
        waiting.extend((job, _submit(pool, work, job)) for job in islice(coming, ahead - len(waiting)))
        if not waiting:
            return
        job, future = waiting.popleft()
        yield _result(work, job, future)


def _submit(pool: ProcessPoolExecutor, work: Callable[[Job], Result], job: Job) -> "Future[bytes] | None":
    # Packed here: in the pool's own thread, what cannot be packed may leave the pool hanging (Python 3.11).
    packed = bytes(ForkingPickler.dumps(job))
    try:
        return pool.submit(_unpack_and_work, work, packed)
    except BrokenProcessPool:
        return None


def _unpack_and_work(work: Callable[[Job], Result], packed: bytes) -> bytes:
    return bytes(ForkingPickler.dumps(work(ForkingPickler.loads(packed))))


def _result(work: Callable[[Job], Result], job: Job, future: "Future[bytes] | None") -> Result:
    """A worker that the system killed, for want of memory say, leaves its job to us."""
    if future is None:
        return work(job)
    try:
        result: Result = ForkingPickler.loads(future.result())
    except BrokenProcessPool:
        return work(job)
    return result


def _frozen(items: dict[Any, Any]) -> MappingProxyType[Any, Any]:
    return MappingProxyType(items)


def _packed(frozen: MappingProxyType[Any, Any]) -> tuple[Callable[..., Any], tuple[dict[Any, Any]]]:
    return _frozen, (dict(frozen),)


# The read-only maps of our records cannot be sent to another process as they are.
ForkingPickler.register(MappingProxyType, _packed)


def _begin_work() -> None:
    # An interrupt goes to the whole group: the parent alone decides what it means.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    gc.disable()
    parent = multiprocessing.parent_process()
    if parent is not None:
        Thread(target=_end_with, args=(parent.sentinel,), daemon=True).start()


def _end_with(sentinel: int) -> None:
    """A parent that was killed outright cannot dismiss its workers, and they would wait for ever."""
    wait([sentinel])
    os._exit(1)
