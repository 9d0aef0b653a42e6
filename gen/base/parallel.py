"""The same work on many files, on all the cores there are, the results in the order of the files."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from typing import TypeVar

T = TypeVar("T")
R = TypeVar("R")


def cores() -> int:
    """How many cores this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def in_order(work: Callable[[T], R], items: Sequence[T], jobs: int) -> Iterator[R]:
    """``work`` of each of ``items``, in their order, by up to ``jobs`` processes at a time.

    With more than one, ``work``, ``items`` and results are sent between processes, which start from nothing, so
    that all platforms do the same.
    """
    jobs = min(jobs, len(items))
    if jobs < 2:
        yield from map(work, items)
        return
    from concurrent.futures import ProcessPoolExecutor
    from multiprocessing import get_context

    with ProcessPoolExecutor(jobs, mp_context=get_context("spawn")) as pool:
        yield from pool.map(work, items, chunksize=max(1, min(16, len(items) // (4 * jobs))))
