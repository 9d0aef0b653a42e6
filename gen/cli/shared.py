"""How every command ends and speaks: its exits, and messages that a screen shows and does not obey."""

from __future__ import annotations

import contextlib
import io
import os
import shlex
import sys
import threading
import time
from collections.abc import Callable, Sequence
from functools import wraps
from typing import TYPE_CHECKING, NoReturn, ParamSpec, Self

import click

from gen.base.errors import FAILURES, DressblockError, as_told, listed, printable

if TYPE_CHECKING:
    from gen.jobs.reports.checked import Checked

P = ParamSpec("P")

HOLDS, FINDING, UNUSABLE = 0, 1, 2

_as_json = click.option("--json", "as_document", is_flag=True, help="Print one JSON document on standard output.")


def plainly(command: Callable[P, int]) -> Callable[P, NoReturn]:
    """A command that exits with what it returns, and with 2 and one clear sentence when its input is unusable.

    With ``--json``, its ``as_document``, it prints one JSON document on standard output whatever becomes of it.
    """

    @wraps(command)
    def run(*args: P.args, **kwargs: P.kwargs) -> NoReturn:
        # a name that the terminal cannot show is no reason to stop
        if isinstance(sys.stdout, io.TextIOWrapper):
            sys.stdout.reconfigure(errors="backslashreplace")
        try:
            code = command(*args, **kwargs)
            sys.stdout.flush()
        except BrokenPipeError:
            sys.stderr.close()
            code = FINDING
        except FAILURES as failure:
            error = as_told(failure)
            say(str(error))
            code = UNUSABLE
            _give_up_output()
            if kwargs.get("as_document") or kwargs.get("style") == "json":
                print_errors(error)
        sys.exit(code)

    return _as_json(run)


def _give_up_output() -> None:
    """Standard output that takes no more, such as a full disk, is left alone, so that leaving does not fail on it."""
    try:
        sys.stdout.flush()
    except OSError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def tell(text: str, *, aside: bool = False) -> None:
    """``text`` on standard output, or ``aside`` on standard error; a screen shows all of it and obeys nothing in it."""
    click.echo("\n".join(map(printable, text.split("\n"))), err=aside)


def print_document(text: str) -> None:
    """``text``, which another program reads, on standard output: in UTF-8 with plain line ends on every console."""
    click.echo(text.encode("utf-8", errors="backslashreplace"), nl=False)


def print_json(document: object) -> None:
    """``document`` as JSON, the only thing that a command prints on standard output."""
    from gen.jobs.report import as_json

    print_document(f"{as_json(document)}\n")


def answered(document: Callable[[], object], text: Callable[[], str], *, as_document: bool) -> int:
    """Prints what was asked for as JSON or as ``text``, of which only one is worked out; the exit is that all holds."""
    if as_document:
        print_json(document())
    else:
        tell(text())
    return HOLDS


def print_errors(error: DressblockError) -> None:
    """What kept a command from its work, as the JSON document that it would have printed otherwise."""
    print_json({"errors": errors_json(error)})


def errors_json(error: DressblockError) -> list[dict[str, str]]:
    """The problems of ``error``, each with its file and key ("" where it has none)."""
    return [
        {"file": file, "key": key, "message": sentence}
        for file, (key, sentence) in zip(error.files, error.problems, strict=True)
    ]


def tell_checked(one: Checked, *, quiet: bool) -> int:
    """Says what was found about one program, or why nothing could be; the exit that follows from it."""
    from gen.jobs.report import finding_line

    if one.left or one.failure is not None:
        say(f"{one.path}: left alone: {one.left}" if one.left else one.error)
        return HOLDS if one.left else UNUSABLE
    for finding in one.findings:
        tell(finding_line(one.path, finding), aside=quiet)
    return FINDING if one.broken else HOLDS


def leave_out(because: str, **given: object) -> None:
    """:class:`DressblockError` where an option was ``given`` that another one makes void; its name as a parameter."""
    if names := [f"--{name.strip('-_').replace('_', '-')}" for name, value in given.items() if value]:
        raise DressblockError(f"{because}; leave out {listed(names, 'and')}.")


def in_shell(words: Sequence[str]) -> str:
    """``words`` as one types them into this system's shell."""
    if os.name == "nt":
        from subprocess import list2cmdline

        return list2cmdline(words)
    return shlex.join(words)


class Progress:
    """Tells on standard error what a command is at, whenever it takes longer than two seconds.

    As ``with Progress() as progress``, with ``progress.at`` set to what is being done.
    """

    FIRST, SLOWEST = 2.0, 30.0

    def __init__(self, at: str = "") -> None:
        self.at = at
        self._over = threading.Event()
        self._thread = threading.Thread(target=self._run, daemon=True)

    def __enter__(self) -> Self:
        self._began = time.monotonic()
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._over.set()
        self._thread.join()

    def _run(self) -> None:
        wait = self.FIRST
        while not self._over.wait(wait):
            # the work goes on whatever becomes of this
            with contextlib.suppress(OSError, ValueError):
                say(f"[{time.monotonic() - self._began:.0f} s] {self.at}")
            wait = min(2 * wait, self.SLOWEST)


def say(text: str) -> None:
    """``text`` on standard error."""
    tell(text, aside=True)
