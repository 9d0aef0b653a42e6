"""Where the machine and the recipe of a program lie."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

from gen.base.errors import DressblockError, listed
from gen.base.places import data_folder
from gen.control.folders import control_names, load_control
from gen.control.heading import Heading


def names_of(recipe_path: Path, machine_path: Path) -> tuple[str, str]:
    """The names by which a heading refers to a machine and a recipe: the machine's folder, the recipe's stem."""
    return machine_path.resolve().parent.name, recipe_path.stem


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


def machine_of(heading: Heading, program: Path, root: Path | None = None) -> Path | None:
    """The machine file that ``heading`` names, near ``program``, below ``root``, or in the demo shop."""
    for folder in _folders(program, root):
        for place in _named(folder, heading.machine):
            if (place / "machine.toml").is_file():
                return place / "machine.toml"
    return None


def recipe_of(heading: Heading, machine_path: Path) -> Path | None:
    """The recipe file that ``heading`` names, in the ``dress`` folder beside the machine or in its folder."""
    for folder in (machine_path.parent / "dress", machine_path.parent):
        for place in _named(folder, f"{heading.recipe}.toml"):
            if place.is_file():
                return place
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
        found = [entry for entry in folder.iterdir() if entry.name.lower() == name.lower()]
    except OSError:
        return
    yield from sorted(found, key=lambda entry: entry.name != name)
