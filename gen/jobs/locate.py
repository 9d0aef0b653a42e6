"""Where the machine and the recipe of a program lie."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

from gen.base.errors import DressblockError, listed
from gen.base.places import data_folder
from gen.control.folders import control_names, load_control
from gen.control.heading import Heading, same_name


def programs_in(paths: Iterable[Path], control_folders: Iterable[Path] = ()) -> dict[Path, bool]:
    """``paths``, with the programs below it in place of each folder, by path: what ends as some control's files do.

    Each with whether it was named itself. :class:`DressblockError` for a folder in which there is none.
    """
    found: dict[Path, bool] = {}
    for path in paths:
        if not path.is_dir():
            found[path] = True
            continue
        endings = sorted({load_control(name, control_folders).file_suffix for name in control_names(control_folders)})
        below = sorted(one for one in path.rglob("*") if one.suffix.lower() in endings and one.is_file())
        if not below:
            raise DressblockError(
                f"there is no program below this folder; their names end in {listed(endings)}.", file=path
            )
        found = dict.fromkeys(below, False) | found
    return found


def recipes_in(paths: Iterable[Path]) -> list[Path]:
    """``paths``, with the recipes below it in place of each folder: a machine's, or the folder of machines.

    :class:`DressblockError` for a folder in which there is none.
    """
    found: dict[Path, None] = {}
    for path in paths:
        if not path.is_dir():
            found[path] = None
            continue
        patterns = ("*.toml",) if path.name == "dress" else ("dress/*.toml", "*/dress/*.toml")
        below = sorted(one for pattern in patterns for one in path.glob(pattern))
        if not below:
            raise DressblockError("there is no recipe here; they lie in <machine>/dress/<recipe>.toml.", file=path)
        found |= dict.fromkeys(below)
    return list(found)


def machine_of(heading: Heading, program: Path, root: Path | None = None) -> Path | None:
    """The machine file that ``heading`` names, near ``program``, below ``root``, or in the demo shop."""
    for folder in _folders(program, root):
        if found := _only([place / "machine.toml" for place in _named(folder, heading.machine)]):
            return found
    return None


def recipe_of(heading: Heading, machine_path: Path) -> Path | None:
    """The recipe file that ``heading`` names, in the ``dress`` folder beside the machine or in its folder."""
    for folder in (machine_path.parent / "dress", machine_path.parent):
        if found := _only(list(_named(folder, f"{heading.recipe}.toml"))):
            return found
    return None


def _folders(program: Path, root: Path | None) -> Iterator[Path]:
    if root is not None:
        yield root
        return
    for parent in program.resolve().parents:
        yield parent
        yield parent / "machines"
    yield Path.cwd() / "machines"
    yield data_folder("machines")


def _named(folder: Path, name: str) -> Iterator[Path]:
    """What is called ``name`` in ``folder``; a control may have put the name in capitals."""
    try:
        found = sorted(entry for entry in folder.iterdir() if same_name(entry.name, name))
    except OSError:
        return
    exact = [entry for entry in found if entry.name == name]
    yield from exact or found


def _only(places: list[Path]) -> Path | None:
    """The one of ``places`` that is a file. :class:`DressblockError` where a heading could mean several."""
    found = [place for place in places if place.is_file()]
    if len(found) > 1:
        raise DressblockError(
            f"its heading could mean {found[0]} or {found[1]}, whose names differ only in capitals; rename one of them."
        )
    return next(iter(found), None)
