"""One dress on every control with registers, its text changed by hand, its digest written anew, and checked.

Its kinds: one whose dress cuts once; one that counts the parts, goes to two
lanes and caps the speed of a worn wheel, so that the plan has branches; one that
visits a lane a dress and tells when the stick is nearly used up; one that is
left out once the stick is used up; the first opening after truing, prove-out,
gap check; a block, and a program in numbers.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from controls import mixed
from example_files import GONE, MACHINE, RECIPE, tables
from gen.base.finding import Finding
from gen.base.toml import as_toml
from gen.control.draft import Program, draft
from gen.control.options import Options
from gen.control.seal import DRESSES, blocks, digest
from gen.jobs.check import check_program
from gen.jobs.provenance import Named
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


_LANES: dict[str, object] = {
    "form": "subprogram",
    "wheel.width": "3 mm",
    "stick.section": ["9 mm", "20 mm"],
    "dress.plunge": "3 mm",
    "dress.lanes": "next",
    "dress.every_parts": GONE,
    "dress.warn_left": 2,
}


@dataclass(frozen=True)
class Kind:
    """What of recipe and machine is another, and with which options the program is made."""

    recipe: dict[str, object] = field(default_factory=dict)
    machine: dict[str, object] = field(default_factory=dict)
    options: dict[str, Any] = field(default_factory=dict)


KINDS = {
    "plain": Kind(),
    "rich": Kind(_RICH_RECIPE),
    "lanes": Kind(_LANES, {"registers.next_lane": 505, "dresser.guided": True, "codes": {"stick_low": "M78"}}),
    "goes on": Kind({"dress.when_used_up": "go-on"}, {"codes": {"dress_left_out": "M78"}}),
    "opening": Kind({"dress.after_truing": {"plunge": "4 mm", "aggressiveness": 260}}, options={"after_truing": True}),
    "held off": Kind(_RICH_RECIPE, options={"purpose": "prove-out"}),
    "gap": Kind(options={"purpose": "gap-check"}),
    "block": Kind({"form": "block"}),
    "numbers": Kind(options={"resolve": True}),
}


@dataclass(frozen=True)
class Bench:
    """The programs of one control; ``folder``: where a changed one is written to be checked."""

    control: str
    folder: Path
    programs: dict[str, Program]

    @property
    def plain(self) -> Program:
        return self.programs["plain"]

    def program(self, which: str) -> Program:
        return self.programs[which]

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
    return Bench(control, own, {which: _program(control, own, which, kind) for which, kind in KINDS.items()})


def _program(control: str, own: Path, which: str, kind: Kind) -> Program:
    plain: dict[str, object] = {"host": GONE, "codes": GONE, "dresser.machine_frame_feeds": True}
    machine = tables(MACHINE, {"control": control, **plain, **kind.machine})
    recipe = tables(RECIPE, kind.recipe)
    (own / which / "dress").mkdir(parents=True)
    (own / which / "machine.toml").write_text(as_toml(machine))
    (own / which / "dress" / "dress.toml").write_text(as_toml(recipe))
    options = Options(control_folders=(own.parent / "controls",), **kind.options)
    return draft(Recipe.model_validate(recipe), Machine.model_validate(machine), (which, "dress"), options)


def sealed(lines: Lines) -> Lines:
    """``lines`` with the digest of each block written anew, where there is one: that of a way back in a call first."""
    for kind in ("RETURN", "CALL", *DRESSES):
        for block in blocks(lines, (kind,)):
            begin = lines[block.first - 1].replace(block.stated, digest(lines[block.first : block.last - 1]))
            lines = [*lines[: block.first - 1], begin, *lines[block.first :]]
    return lines
