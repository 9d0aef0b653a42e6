"""A copy of the demo shop to break, and the command line to run on it."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from gen.base.places import data_folder
from gen.cli import main
from runner import runner


@dataclass(frozen=True)
class Outcome:
    code: int
    out: str
    err: str

    @property
    def document(self) -> Any:
        return json.loads(self.out)


Command = Callable[..., Outcome]


@pytest.fixture
def command() -> Command:
    """Runs ``dressblock`` with the given words."""

    def run(*words: object) -> Outcome:
        result = runner().invoke(main, [str(word) for word in words])
        assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
        return Outcome(result.exit_code, result.stdout, result.stderr)

    return run


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


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    shutil.copytree(data_folder("machines"), tmp_path / "machines")
    return Shop(tmp_path)
