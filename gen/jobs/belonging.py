"""Which machine and recipe a program is held against: those that were named, else those that its heading names."""

from __future__ import annotations

from pathlib import Path

from gen.base.dataclass import dataclass
from gen.base.errors import DressblockError
from gen.base.files import read_toml
from gen.control.heading import Heading, same_name
from gen.jobs.locate import machine_of, recipe_of
from gen.shop.load import load_recipe, machine_file_for


@dataclass(frozen=True)
class Belonging:
    """The files that a dress is held against; ``recipe`` is None where nothing leads to one.

    ``number``: that of the dress in the program, if it has one.
    """

    heading: Heading | None
    machine: Path
    recipe: Path | None
    number: int | None = None

    @property
    def otherwise(self) -> str:
        """A sentence, where the heading names another machine or recipe than these; else empty."""
        if self.heading is None:
            return ""
        machine, recipe = self.machine.resolve().parent.name, None if self.recipe is None else self.recipe.stem
        says, held = [], []
        if not same_name(self.heading.machine, machine):
            says.append(f"machine {self.heading.machine}")
            held.append(f"machine {machine}")
        if recipe is not None and not same_name(self.heading.recipe, recipe):
            says.append(f"recipe {self.heading.recipe}")
            held.append(f"recipe {recipe}")
        if not says:
            return ""
        return (
            f"its heading says {' and '.join(says)}; it is held against {' and '.join(held)}, as named; leave out "
            "--machine and --recipe to hold it against its own."
        )

    @property
    def unknown(self) -> str:
        """Why no recipe is known, as the beginning of a sentence."""
        if self.heading is None:
            return "nothing tells which recipe this program is for"
        where = self.machine.parent / "dress"
        gone = f"the recipe {self.heading.recipe} that its heading names is not in {where}"
        return f"{gone}{renamed_recipe(where, self.number)}"


def belonging(
    heading: Heading | None, program: Path, machine: Path | None, recipe: Path | None, root: Path | None
) -> Belonging | None:
    """What the program at ``program`` is held against; None if neither its heading nor anybody says.

    ``machine``, ``recipe`` and ``root``: files and the folder of machines, as
    named. :class:`DressblockError` if what the heading names is not there.
    """
    found = machine
    if found is None and recipe is not None:
        found = machine_file_for(recipe, load_recipe(recipe))
    if found is None and heading is None:
        return None
    if found is None:
        assert heading is not None
        found = machine_of(heading, program, root)
        if found is None:
            raise DressblockError(_not_there(heading, root), file=program)
    if recipe is None and heading is not None:
        recipe = recipe_of(heading, found)
    return Belonging(heading, found, recipe)


def renamed_recipe(folder: Path, number: int | None) -> str:
    """Which recipe in ``folder`` has the program number ``number``, as after a rename; part of a sentence or empty."""
    for path in sorted(folder.glob("*.toml")) if number is not None else ():
        try:
            tables = read_toml(path)
        except DressblockError:
            continue
        if tables.get("program") == number:
            return f" ({path.name} there has its program number {number}; if it was renamed, generate it again)"
    return ""


def _not_there(heading: Heading, root: Path | None) -> str:
    where = "near this program" if root is None else f"in {root}"
    if root is not None and not root.is_dir():
        return (
            f"its heading names machine {heading.machine}, and there is no folder {root} to look in; "
            "give --machines the folder that holds the machines' folders."
        )
    return (
        f"its heading names machine {heading.machine}, and there is no {heading.machine}/machine.toml {where}; "
        f"give --machines the folder that holds {heading.machine}, or --machine the file."
    )
