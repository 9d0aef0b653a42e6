"""A command run in a child process that is given so much processor time, so much memory, and no more."""

from __future__ import annotations

import contextlib
import io
import os
import resource
import signal
import tempfile
from collections.abc import Callable
from pathlib import Path

from click.testing import CliRunner

from gen.cli import main

DIED = 70
"""The exit of a child in which something came out that should not have."""


def in_child(work: Callable[[], int], *, seconds: int = 600, megabytes: int | None = None) -> tuple[int, str]:
    """Exit and output of ``work`` in a child; it is killed (an exit below 0) when its time is up."""
    with tempfile.TemporaryDirectory() as folder:
        said = Path(folder) / "said"
        if child := os.fork():
            code = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
            return code, said.read_text(encoding="utf-8", errors="backslashreplace") if said.exists() else ""
        code = DIED
        try:
            # the alarm for what waits, the limit for what works
            signal.alarm(4 * seconds)
            resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds + 1))
            if megabytes is not None:
                resource.setrlimit(resource.RLIMIT_AS, (_taken() + (megabytes << 20),) * 2)
            with contextlib.redirect_stdout(io.StringIO()):
                code = work()
        except BaseException as error:
            said.write_text(f"{type(error).__name__}: {error}", encoding="utf-8", errors="backslashreplace")
        finally:
            os._exit(code)


def command(*words: object, seconds: int = 20, megabytes: int = 400) -> tuple[int, str]:
    """Exit and output of ``dressblock`` with ``words``, within ``seconds`` and so many ``megabytes`` more than now."""
    with tempfile.TemporaryDirectory() as folder:
        heard = Path(folder) / "heard"

        def work() -> int:
            result = CliRunner().invoke(main, [str(word) for word in words])
            if result.exception is not None and not isinstance(result.exception, SystemExit):
                raise result.exception
            heard.write_text(result.output, encoding="utf-8", errors="backslashreplace")
            return result.exit_code

        code, died = in_child(work, seconds=seconds, megabytes=megabytes)
        return code, died or (heard.read_text(encoding="utf-8") if heard.exists() else "")


def _taken() -> int:
    """Bytes of address space that this process has already."""
    return int(Path("/proc/self/statm").read_text().split()[0]) * resource.getpagesize()
