"""Commented files to begin with. Nothing is generated from them until somebody has put in their own values."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from gen.base.errors import DressblockError
from gen.base.files import write_whole
from gen.base.places import data_folder
from gen.jobs.generate import make_folder
from gen.jobs.report import as_json
from gen.jobs.schemas import schema_of

StarterKind = Literal["machine", "recipe"]
StarterDresser = Literal["slide", "table", "timed"]
DRESSERS: tuple[StarterDresser, ...] = ("slide", "table", "timed")


def place(kind: StarterKind, path: Path) -> Path:
    """Where a new file goes: ``path`` itself if it ends in ``.toml``, else a file in that machine's folder."""
    if path.suffix == ".toml":
        return path
    return path / ("machine.toml" if kind == "machine" else "dress/first.toml")


def write_starter(kind: StarterKind, path: Path, dresser: StarterDresser = "slide") -> Path:
    """Writes the starter for ``kind``, a machine with such a ``dresser``, and returns where.

    The JSON Schema that its first line names is written beside it, unless there is one.
    :class:`DressblockError` if there is a file already.
    """
    file = place(kind, path)
    if file.exists() or file.is_symlink():
        raise DressblockError("this file exists and is kept; choose another name.", file=file)
    name = f"machine-{dresser}" if kind == "machine" and dresser != "slide" else kind
    text = (data_folder("templates") / "starters" / f"{name}.toml").read_text(encoding="utf-8")
    make_folder(file.parent)
    beside = file.with_name(f"{kind}.schema.json")
    if not beside.exists():
        write_whole(beside, f"{as_json(schema_of(kind))}\n")
    write_whole(file, text)
    return file
