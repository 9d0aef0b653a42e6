"""The command line run within the test, with output and errors apart on every version of its library."""

from __future__ import annotations

import inspect
from typing import Any

from click.testing import CliRunner


def runner(charset: str = "utf-8") -> CliRunner:
    """A runner whose results have ``stdout`` and ``stderr``; before click 8.2 it has to be asked for that.

    ``charset``: the code page of the console.
    """
    apart: dict[str, Any] = {"mix_stderr": False} if "mix_stderr" in inspect.signature(CliRunner).parameters else {}
    return CliRunner(charset=charset, **apart)
