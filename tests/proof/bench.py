"""One dress on every control with registers, its text changed by hand, its digest written anew, and checked.

Two machines: one whose dress cuts once, and one that counts the parts, goes to
two lanes and caps the speed of a worn wheel, so that the plan has branches.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from controls import mixed
from example_files import GONE, MACHINE, RECIPE, tables
from gen.base.finding import Finding
from gen.base.toml import as_toml
from gen.control.draft import Program, draft
from gen.control.options import Options
from gen.control.seal import blocks, digest
from gen.jobs.check import Named, check_program
from gen.shop.machine import Machine
from gen.shop.recipe import Recipe

CONTROLS = ("rs274ngc", "hash-variables", "r-variables", mixed.NAME)

Lines = list[str]
Change = Callable[[Lines], Lines]

_RICH_RECIPE: dict[str, object] = {
    "form": "subprogram",
    "wheel.max_speed": "21 m/s",
    "dress.wheel_speed": "20.5 m/s",
    "wheel.diameter": ["90 mm", "125 mm"],
    "stick.section": ["12 mm", "25 mm"],
    "dress.plunges": 2,
    "dress.plunge": "3 mm",
}


@dataclass(frozen=True)
class Bench:
    """The programs of one control; ``path``: where a changed one is written to be checked."""

    control: str
    folder: Path
    plain: Program
    rich: Program

    def program(self, which: str) -> Program:
        return self.plain if which == "plain" else self.rich

    def found(self, lines: Sequence[str], which: str = "plain") -> list[Finding]:
        """The errors that ``check`` finds in a program of ``lines``."""
        path = self.folder / f"{which}{self.plain.dialect.control.file_suffix}"
        path.write_bytes("\n".join([*lines, ""]).encode("utf-8"))
        named = Named(
            self.folder / which / "machine.toml",
            self.folder / which / "dress" / "dress.toml",
            options=Options(control_folders=(self.folder.parent / "controls",)),
        )
        return [finding for finding in check_program(path, named) if finding.severity == "error"]


def made_in(folder: Path) -> dict[str, Bench]:
    mixed.made_in(folder / "controls")
    return {control: _bench(control, folder) for control in CONTROLS}


def _bench(control: str, folder: Path) -> Bench:
    own = folder / control
    programs = {
        which: _program(control, own, which, recipe) for which, recipe in (("plain", {}), ("rich", _RICH_RECIPE))
    }
    return Bench(control, own, programs["plain"], programs["rich"])


def _program(control: str, own: Path, which: str, changes: dict[str, object]) -> Program:
    machine = tables(MACHINE, {"control": control, "host": GONE, "codes": GONE, "dresser.machine_frame_feeds": True})
    recipe = tables(RECIPE, changes)
    (own / which / "dress").mkdir(parents=True)
    (own / which / "machine.toml").write_text(as_toml(machine))
    (own / which / "dress" / "dress.toml").write_text(as_toml(recipe))
    options = Options(control_folders=(own.parent / "controls",))
    return draft(Recipe.model_validate(recipe), Machine.model_validate(machine), (which, "dress"), options)


def sealed(lines: Lines) -> Lines:
    """``lines`` with the digest of their block written anew, where there is a block."""
    for block in blocks(lines):
        now = digest(lines[block.first : block.last - 1])
        lines = [*lines[: block.first - 1], lines[block.first - 1].replace(block.stated, now), *lines[block.first :]]
    return lines
