"""A command run in a child process that is given so much processor time, so much memory, and no more."""

from __future__ import annotations

import os
import resource
import signal
from collections.abc import Callable
from pathlib import Path

from runner import invoke

DIED = 70
"""The exit of a child in which something came out that should not have."""


def in_child(
    work: Callable[[], tuple[int, str]], *, seconds: int = 600, megabytes: int | None = None
) -> tuple[int, str]:
    """Exit and output of ``work`` in a child; it is killed (an exit below 0) when its time is up."""
    out, into = os.pipe()
    if child := os.fork():
        os.close(into)
        with os.fdopen(out, encoding="utf-8") as pipe:
            said = pipe.read()
        return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), said
    code = DIED
    try:
        # the alarm for what waits, the limit for what works
        signal.alarm(4 * seconds)
        resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds + 1))
        if megabytes is not None:
            resource.setrlimit(resource.RLIMIT_AS, (_taken() + (megabytes << 20),) * 2)
        code, said = work()
        _say(into, said)
    except BaseException as error:
        _say(into, f"{type(error).__name__}: {error}")
    finally:
        os._exit(code)


def command(*words: object, seconds: int = 20, megabytes: int = 400) -> tuple[int, str]:
    """Exit and output of ``dressblock`` with ``words``, within ``seconds`` and so many ``megabytes`` more than now."""

    def work() -> tuple[int, str]:
        result = invoke(*words)
        if result.exception is not None and not isinstance(result.exception, SystemExit):
            raise result.exception
        return result.exit_code, result.output

    return in_child(work, seconds=seconds, megabytes=megabytes)


def _say(pipe: int, text: str) -> None:
    with os.fdopen(pipe, "w", encoding="utf-8", errors="backslashreplace") as file:
        file.write(text)


def _taken() -> int:
    """Bytes of address space that this process has already."""
    return int(Path("/proc/self/statm").read_text().split()[0]) * resource.getpagesize()
