"""The same work on many files, on all the cores there are, the results in the order of the files."""

from __future__ import annotations

import contextlib
import os
import signal
import threading
from collections.abc import Callable, Iterator, Sequence
from typing import TypeVar

_T = TypeVar("_T")
R = TypeVar("R")


def _cores() -> int:
    """How many cores this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def in_order(work: Callable[[_T], R], items: Sequence[_T], jobs: int) -> Iterator[R]:
    """``work`` of each of ``items``, in their order, by up to ``jobs`` processes at a time; 0: one for each core.

    With more than one, ``work``, ``items`` and results are sent between processes, which start from nothing, so
    that all platforms do the same.
    """
    jobs = min(jobs or _cores(), len(items))
    if jobs < 2:
        yield from map(work, items)
        return
    from concurrent.futures import ProcessPoolExecutor
    from multiprocessing import get_context

    with ProcessPoolExecutor(jobs, mp_context=get_context("spawn")) as pool:
        try:
            with _deaf_children():
                results = pool.map(work, items, chunksize=max(1, min(4, len(items) // (4 * jobs))))
            yield from results
        except BaseException:
            # what is being worked on is finished, what waits is not begun
            pool.shutdown(cancel_futures=True)
            raise


@contextlib.contextmanager
def _deaf_children() -> Iterator[None]:
    """Processes started here leave Ctrl-C, which reaches all processes of a command, to the one that started them."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
