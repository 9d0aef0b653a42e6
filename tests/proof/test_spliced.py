"""Single edits of a dress, of its way back and of a call within a grinding program, with the digests written anew.

Each is found, or does exactly what was there before, as :mod:`proof.simulation`
tries it. The edits and their number are those of :mod:`proof.test_mutations`.
"""

from __future__ import annotations

import re
import shutil
from dataclasses import dataclass, replace
from pathlib import Path

import pytest

from gen.base.errors import DressblockError
from gen.base.places import data_folder
from gen.control.draft import Program
from gen.control.options import Options
from gen.control.seal import SPLICED, blocks
from gen.jobs.check import check_program
from gen.jobs.generate import prepare, write
from gen.jobs.pair import pair_at
from gen.jobs.provenance import Named
from gen.jobs.splice import Asked, prepare_spliced

from . import simulation
from .bench import Lines, sealed
from .edits import SPELLINGS, Edit, edits
from .test_mutations import EVERY

HOSTS = {
    "rs274ngc": ("north-bench", "drill-flutes.ngc", "flute-rough"),
    "hash-variables": ("south-bench", "gash-cup.nc", "gash-cup"),
    "r-variables": ("long-slide", "broach-teeth.nc", "broach-wheel"),
    "iso6983": ("inch-table", "slot-form.nc", "slot-wheel"),
}


@dataclass(frozen=True)
class Cycle:
    """A grinding program with a dress in it, at ``path`` beside its machine; ``program``: what it is, as a whole."""

    control: str
    path: Path
    program: Program

    @classmethod
    def of(cls, control: str, root: Path, *, call: bool) -> Cycle:
        machine, file, name = HOSTS[control]
        folder = root / machine
        shutil.copytree(data_folder("machines") / machine, folder)
        table = folder / "machine.toml"
        table.write_text(re.sub(r'^control = ".*"$', f'control = "{control}"', table.read_text(), flags=re.MULTILINE))
        recipe, path = folder / "dress" / f"{name}.toml", folder / "hosts" / file
        spliced = prepare_spliced(path, recipe, Asked(call=call, back=True))
        assert spliced.text is not None, spliced.findings
        for job in prepare(recipe, Options(form="subprogram")) if call else ():
            write(job, root / "programs")
        return cls(control, path, replace(pair_at(recipe).draft(), text=spliced.text))

    @property
    def edits(self) -> list[Edit]:
        """Those of the lines that were put in."""
        lines = self.program.text.splitlines()
        ours = [line for one in blocks(lines, SPLICED) for line in range(one.first, one.last + 1)]
        spelled = self.control if self.control in SPELLINGS else "hash-variables"
        return [edit for edit in edits(lines, spelled) if edit.line in ours]

    def found(self, lines: Lines) -> bool:
        self.path.write_bytes("\n".join([*lines, ""]).encode())
        try:
            found = check_program(self.path, Named(root=self.path.parent.parent.parent))
        except DressblockError:
            return True  # said in words, and nothing is called right
        return any(one.severity == "error" for one in found)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("G53 G0 X200", "G53 G0 X20"),
        ("G53 G0 Z120", "G53 G1 Z120 F1000"),
        ("(back to where the program stood)", "G0 U5"),
    ],
)
def test_a_way_back_that_leads_elsewhere(old: str, new: str, tmp_path: Path) -> None:
    cycle = Cycle.of("rs274ngc", tmp_path, call=False)
    lines = cycle.program.text.splitlines()
    at = lines.index(old, next(one.first for one in blocks(lines, ("RETURN",))))
    assert cycle.found(sealed([*lines[:at], new, *lines[at + 1 :]]))


@pytest.mark.parametrize("new", ["G0 U60", "G53 G0 U60", "M5", "G91"])
def test_a_line_between_a_dress_and_its_way_back(new: str, tmp_path: Path) -> None:
    cycle = Cycle.of("rs274ngc", tmp_path, call=False)
    lines = cycle.program.text.splitlines()
    (back,) = blocks(lines, ("RETURN",))
    assert cycle.found([*lines[: back.first - 1], new, *lines[back.first - 1 :]])


@pytest.mark.parametrize("new", ["M0", "G4 X1.", "M9", "G53 G0 Z2."])
def test_a_line_put_into_a_block_in_numbers(new: str, tmp_path: Path) -> None:
    cycle = Cycle.of("iso6983", tmp_path, call=False)
    lines = cycle.program.text.splitlines()
    at = next(at for at, line in enumerate(lines) if line.startswith("(PLUNGE 1 OF"))
    assert cycle.found(sealed([*lines[:at], new, *lines[at:]]))


@pytest.mark.parametrize(
    ("control", "call"), [*((one, False) for one in HOSTS), *((one, True) for one in HOSTS if one != "iso6983")]
)
def test_no_edit_of_what_was_spliced_survives_that_does_something_else(
    control: str, call: bool, tmp_path: Path
) -> None:
    cycle = Cycle.of(control, tmp_path, call=call)
    assert not cycle.found(cycle.program.text.splitlines())
    every = cycle.edits
    assert len(every) > 300
    some = every[::EVERY]
    print(f"{control} {'call' if call else 'block'} in {cycle.path.name}: {len(some)} of {len(every)} edits")
    unargued = [
        f"line {edit.line}, {edit.name}: {why}"
        for edit in some
        if not cycle.found(sealed(edit.lines)) and (why := simulation.parts(cycle.program, edit.lines))
    ]
    assert unargued == []
