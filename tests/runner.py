"""The command line run within the test, and a copy of the demo shop to run it on."""

from __future__ import annotations

import inspect
import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from click.testing import CliRunner, Result

from gen.cli import main


def runner(charset: str = "utf-8") -> CliRunner:
    """A runner whose results have ``stdout`` and ``stderr``; before click 8.2 it has to be asked for that.

    ``charset``: the code page of the console.
    """
    apart: dict[str, Any] = {"mix_stderr": False} if "mix_stderr" in inspect.signature(CliRunner).parameters else {}
    return CliRunner(charset=charset, **apart)


def invoke(*words: object) -> Result:
    """What ``dressblock`` does with the given words."""
    return runner().invoke(main, [str(word) for word in words], prog_name="dressblock")


@dataclass(frozen=True)
class Outcome:
    """What a command that did not fail itself said, and its exit."""

    code: int
    out: str
    err: str

    @property
    def document(self) -> Any:
        return json.loads(self.out)


Command = Callable[..., Outcome]


@dataclass(frozen=True)
class Shop:
    """A shop's folder with machines in it, and where its programs go."""

    root: Path

    @property
    def recipe(self) -> Path:
        return self.root / "machines/north-bench/dress/flute-rough.toml"

    @property
    def machine(self) -> Path:
        return self.root / "machines/north-bench/machine.toml"

    @property
    def out(self) -> Path:
        return self.root / "programs"

    def change(self, path: Path, old: str, new: str) -> None:
        """Replaces ``old`` by ``new`` in the file; it must be there."""
        text = path.read_text()
        assert old in text, f"{old} is not in {path.name}"
        path.write_text(text.replace(old, new))

    def written(self) -> list[Path]:
        return [path for path in self.out.rglob("*") if path.is_file()]
