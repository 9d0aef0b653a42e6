"""The command line run within the test, with output and errors apart on every version of its library."""

from __future__ import annotations

import inspect
from typing import Any

from click.testing import CliRunner


def runner() -> CliRunner:
    """A runner whose results have ``stdout`` and ``stderr``; before click 8.2 it has to be asked for that."""
    apart: dict[str, Any] = {"mix_stderr": False} if "mix_stderr" in inspect.signature(CliRunner).parameters else {}
    return CliRunner(**apart)
