"""What a block might leave behind, planted one by one: the proof notices each."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from hosts import Bench, Host

from gen.bounds.readback import read_state
from gen.control.dialect import dialect_for
from gen.control.draft import draft
from gen.control.options import Options
from gen.host.place import find
from gen.host.point import HostPoint
from gen.host.proof import Proof
from gen.host.text import HostLines
from gen.jobs.splice import Asked, prepare_spliced
from gen.reader import lower, run
from gen.shop.load import load_machine, load_recipe

HOST = Host("north-bench", "any.ngc", "flute-rough")
TEXT = """%
G20 G91 G94 G17 G55
G64 P0.001
M3 S4100
G4 P3
M8
M7
M49
G90 G0 X8 Z4
G91
G1 X-0.1 F12.5
G0 X0.1
G1
(DRESS HERE)
G90 G0 X8 Z4
G91
G1 X-0.1
G90 G0 X8
M9
M5
M2
%
"""

Edit = Callable[[str], str]


def leave_out(line: str) -> Edit:
    """The last line of the block that reads ``line``, taken out."""
    return lambda block: swap(line, "")(block)


def swap(line: str, other: str) -> Edit:
    def edit(block: str) -> str:
        head, found, tail = block.rpartition(f"\n{line}\n")
        assert found, f"{line} is not in the block"
        return f"{head}\n{other}\n{tail}"

    return edit


MODES = "G20 G91 G94 G17 G55"
LEAKS: dict[str, Edit] = {
    "absolute": swap(MODES, "G20 G90 G94 G17 G55"),
    "millimetres": swap(MODES, "G21 G91 G94 G17 G55"),
    "plane": swap(MODES, "G20 G91 G94 G18 G55"),
    "work offset": swap(MODES, "G20 G91 G94 G17 G54"),
    "feed mode": swap(MODES, "G20 G91 G93 G17 G55"),
    "path mode": swap("G64 P0.001", "G61"),
    "path tolerance": swap("G64 P0.001", "G64 P0.02"),
    "exact stop": leave_out("G64 P0.001"),
    "arc centres": swap(MODES, "G90.1 G20 G91 G94 G17 G55"),
    "feed": leave_out("F12.5"),
    "another feed": swap("F12.5", "F300"),
    "motion code": leave_out("G1"),
    "spindle speed": swap("M3 S4100", "M3 S4000"),
    "spindle direction": swap("M3 S4100", "M4 S4100"),
    "spindle off": swap("M3 S4100", "M5"),
    "coolant": swap("M8", "M9"),
    "mist": swap("M7", "M9"),
    "override": leave_out("M49"),
    "an unread word": swap(MODES, "G20 G91 G94 G17 G55 G41"),
}


def proof(tmp_path: Path, edit: Edit) -> list[str]:
    """What the proof says of the program whose block was edited."""
    bench = Bench.of(HOST, "rs274ngc", tmp_path)
    path, recipe = bench.root / "any.ngc", bench.recipe(HOST)
    path.write_text(TEXT)
    job = prepare_spliced(path, recipe, Asked())
    assert job.text is not None, job.findings
    lines = HostLines.of(job.text)
    above = "".join(lines.items[: job.lines.start - 1])
    block = "".join(lines.items[job.lines.start - 1 : job.lines.stop - 1])
    below = "".join(lines.items[job.lines.stop - 1 :])
    edited = edit(block)
    text = above + edited + below
    machine = load_machine(bench.machine)
    dialect = dialect_for(machine)
    program = draft(load_recipe(recipe), machine, ("north-bench", "flute-rough"), Options(form="block"))
    start = read_state(program, program.state)
    point = HostPoint(find(TEXT, dialect.control, 7101, None), dialect.control, start)
    first, last = job.lines.start, job.lines.start + edited.count("\n") - 1
    reading = run(lower(text, dialect.control), start, window=(range(first, last + 1),))
    found = Proof(point, HostLines.of(text).bare, reading, program.dress).findings()
    return [finding.message for finding in found if finding.rule == "host-unchanged"]


def test_without_a_leak_the_proof_holds(tmp_path: Path) -> None:
    assert proof(tmp_path, lambda block: block) == []


@pytest.mark.parametrize("leak", LEAKS)
def test_each_leak_is_noticed(tmp_path: Path, leak: str) -> None:
    assert proof(tmp_path, LEAKS[leak]) != []
