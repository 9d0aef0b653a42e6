"""Loading a control: a folder ``controls/NAME`` with a ``control.toml`` and its templates."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from pydantic import ValidationError

from gen.base.errors import DressblockError, explain, listed, nearest
from gen.base.files import read_toml
from gen.base.places import data_folder
from gen.control.model import Control

if TYPE_CHECKING:
    from gen.shop.machine import Machine


def control_folder(name: str, extra_dirs: Iterable[Path] = ()) -> Path:
    """The folder of control ``name``: the first of ``extra_dirs`` that holds it, else the one that came along.

    :class:`DressblockError` if no folder of that name holds a ``control.toml``.
    """
    roots = [*extra_dirs, data_folder("templates") / "controls"]
    if re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9_-]*", name):
        for root in roots:
            if (root / name / "control.toml").is_file():
                return root / name
    known = _names(roots)
    near = nearest(name, known)
    hint = f'the nearest one is "{near}"' if near else f"there are {listed(known, 'and')}"
    raise DressblockError(f'there is no control "{name}"; {hint}.', key="control")


def folders_of(machine: Machine, machine_path: Path, named: Iterable[Path] = ()) -> tuple[Path, ...]:
    """Where the controls of ``machine`` are looked for: the ``named`` folders, then the one its file names.

    :class:`DressblockError` if its file names a folder that is none.
    """
    if machine.controls is None:
        return tuple(named)
    folder = machine_path.parent / machine.controls
    if not folder.is_dir():
        raise DressblockError(
            f"there is no folder {folder}; give the folder that holds your controls' folders, seen from this file.",
            file=machine_path,
            key="controls",
        )
    return (*named, folder)


def control_names(extra_dirs: Iterable[Path] = ()) -> list[str]:
    """The name of every control there is, sorted."""
    return _names([*extra_dirs, data_folder("templates") / "controls"])


def load_control(name: str, extra_dirs: Iterable[Path] = ()) -> Control:
    """The control ``name``. :class:`DressblockError` if there is none, or its file is wrong."""
    return control_in(control_folder(name, extra_dirs))


def control_in(folder: Path) -> Control:
    """The control in ``folder``. :class:`DressblockError` if its file is wrong."""
    path = folder / "control.toml"
    try:
        found = path.stat()
    except OSError:
        return _read(path, None)
    return _read(path, (found.st_mtime_ns, found.st_size))


@lru_cache(maxsize=32)
def _read(path: Path, stamp: tuple[int, int] | None) -> Control:
    """The control in the file at ``path``, read again once its ``stamp``, time and size, is another."""
    try:
        return Control.model_validate(read_toml(path))
    except ValidationError as error:
        raise explain(error, Control, file=path) from None


def _names(roots: Iterable[Path]) -> list[str]:
    return sorted({file.parent.name for root in roots for file in root.glob("*/control.toml")})
