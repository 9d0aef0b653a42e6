"""Where a dress that lies somewhere is from: the machine and recipe that were named, else those that its heading names.

With them, how it was made, so that it can be made again.
"""

from __future__ import annotations

from dataclasses import field
from pathlib import Path

from gen.base.dataclass import dataclass
from gen.base.errors import DressblockError
from gen.base.files import read_toml
from gen.control.heading import Heading, read_heading, same_name
from gen.control.options import Options
from gen.control.seal import MarkedBlock
from gen.jobs.locate import machine_of, recipe_of
from gen.shop.load import load_recipe, machine_file_for


@dataclass(frozen=True)
class Named:
    """Machine and recipe as named on the command line, where they were.

    ``find``: a dress without marks is looked for by its motion. ``options``:
    the wheel and stick that numbers are right for, where no heading says so, and
    the folders of controls.
    """

    machine: Path | None = None
    recipe: Path | None = None
    root: Path | None = None
    find: bool = False
    options: Options = field(default_factory=Options)


@dataclass(frozen=True)
class Provenance:
    """The files that a dress, or the call of one, in the program at ``path`` is held against; None where none is known.

    ``lines`` are those of the program, and ``marked`` the block among them, None for the whole without marks.
    """

    path: Path
    lines: list[str]
    marked: MarkedBlock | None
    heading: Heading | None
    machine: Path | None
    recipe: Path | None

    @property
    def otherwise(self) -> str:
        """A sentence, where the heading names another machine or recipe than these; else empty."""
        says, held = [], []
        if self.heading is not None and self.machine is not None:
            pairs = [("machine", self.heading.machine, self.machine.resolve().parent.name)]
            pairs += [] if self.recipe is None else [("recipe", self.heading.recipe, self.recipe.stem)]
            for what, named, name in pairs:
                if not same_name(named, name):
                    says.append(f"{what} {named}")
                    held.append(f"{what} {name}")
        if not says:
            return ""
        return (
            f"its heading says {' and '.join(says)}; it is held against {' and '.join(held)}, as named; leave out "
            "--machine and --recipe to hold it against its own."
        )

    @property
    def unknown(self) -> str:
        """Why no recipe is known, as the beginning of a sentence."""
        if self.heading is None or self.machine is None:
            return "nothing tells which recipe this program is for"
        gone = f"the recipe {self.heading.recipe} that its heading names is not in {self.machine.parent / 'dress'}"
        return f"{gone}{renamed_recipe(self.machine, self.marked)}"

    def must_know_machine(self, root: Path | None) -> None:
        """:class:`DressblockError` where the machine that the heading names is not there, or not below ``root``."""
        if self.machine is not None or self.heading is None:
            return
        name, where = self.heading.machine, "near this program" if root is None else f"in {root}"
        if root is not None and not root.is_dir():
            raise DressblockError(
                f"its heading names machine {name}, and there is no folder {root} to look in; give --machines the "
                "folder that holds the machines' folders.",
                file=self.path,
            )
        raise DressblockError(
            f"its heading names machine {name}, and there is no {name}/machine.toml {where}; give --machines the "
            f"folder that holds {name}, or --machine the file.",
            file=self.path,
        )


def provenance(
    path: Path, lines: list[str], marked: MarkedBlock | None, named: Named, beside: Provenance | None = None
) -> Provenance:
    """What the block ``marked`` in the program at ``path`` is held against, or the whole without marks.

    ``beside``, of another dress in the program, stands in for what is not said or not there.
    """
    heading, machine, recipe = heading_in(lines, marked), named.machine, named.recipe
    other = None if beside is None else beside.machine
    if machine is None and recipe is not None:
        machine = machine_file_for(recipe, load_recipe(recipe))
    if machine is None and heading is not None and (other is None or not is_of(heading, other)):
        machine = machine_of(heading, path, named.root)
    machine = machine or other
    if recipe is None and heading is None:
        recipe = None if beside is None else beside.recipe
    elif recipe is None and heading is not None and machine is not None:
        recipe = recipe_of(heading, machine)
    return Provenance(path, lines, marked, heading, machine, recipe)


def renamed_recipe(machine: Path | None, marked: MarkedBlock | None) -> str:
    """Which recipe of ``machine`` has the number of ``marked``, as after a rename; part of a sentence or empty."""
    if machine is None or marked is None:
        return ""
    for path in sorted((machine.parent / "dress").glob("*.toml")):
        try:
            number = read_toml(path).get("program")
        except DressblockError:
            continue
        if number == marked.number:
            return f" ({path.name} there has its program number {number}; if it was renamed, generate it again)"
    return ""


def is_of(heading: Heading, machine: Path) -> bool:
    """Whether ``heading`` names the machine in the file ``machine``."""
    return same_name(heading.machine, machine.resolve().parent.name)


def heading_in(lines: list[str], marked: MarkedBlock | None) -> Heading | None:
    """The heading inside the block, or anywhere in the first hundred lines of a program without marks."""
    first, last = (marked.first, marked.last) if marked else (1, 100)
    return read_heading(lines[first - 1 : last])


def is_spliced(lines: list[str], marked: MarkedBlock) -> bool:
    """Whether the block ``marked`` stands within a grinding program."""
    if marked.kind == "CALL":
        return True
    heading = heading_in(lines, marked)
    around = [*lines[: marked.first - 1], *lines[marked.last :]]
    return heading is not None and heading.edition.form == "block" and any(line.strip(" %") for line in around)


def options_as_made(heading: Heading, control_folders: tuple[Path, ...]) -> Options:
    """The options with which a program of this ``heading`` is made again."""
    state = heading.state
    return Options(
        form=heading.edition.form,
        after_truing=heading.edition.after_truing,
        purpose=heading.edition.purpose,
        at_speed=heading.edition.at_speed,
        begins=heading.begins,
        diameter=state.get("wheel_diameter"),
        gauge=state.get("wheel_gauge"),
        diameters=tuple(value for name, value in state.items() if name.startswith("wheel_diameter_")),
        length=state.get("stick_length"),
        slide_position=state.get("slide_position"),
        resolve=bool(state),
        control_folders=control_folders,
        language=heading.language,
    )
