"""Commented files to begin with; as they stand, the recipe holds on the machine."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from gen.base.errors import DressblockError
from gen.base.files import write_whole
from gen.base.places import data_folder
from gen.jobs.generate import make_folder

Kind = Literal["machine", "recipe"]


def place(kind: Kind, path: Path) -> Path:
    """Where a new file goes: ``path`` itself if it ends in ``.toml``, else a file in that machine's folder."""
    if path.suffix == ".toml":
        return path
    return path / ("machine.toml" if kind == "machine" else "dress/first.toml")


def start(kind: Kind, path: Path) -> Path:
    """Writes the starter for ``kind`` and returns where; :class:`DressblockError` if something is there already."""
    file = place(kind, path)
    if file.exists() or file.is_symlink():
        raise DressblockError("this file exists and is kept; choose another name.", file=file)
    text = (data_folder("templates") / "starters" / f"{kind}.toml").read_text(encoding="utf-8")
    make_folder(file.parent)
    write_whole(file, text)
    return file
