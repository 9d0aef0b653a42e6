"""What a block might leave behind, planted one by one: the proof notices each."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import pytest
from hosts import Bench, Host
from hypothesis import given, settings
from hypothesis import strategies as st

from gen.bounds.readback import read_state
from gen.control.dialect import dialect_for
from gen.control.draft import draft
from gen.control.model import Control
from gen.control.options import Options
from gen.host.place import find
from gen.host.point import HostPoint
from gen.host.proof import Proof
from gen.host.text import HostLines
from gen.jobs.splice import Asked, prepare_spliced
from gen.reader import ReadState, lower, run
from gen.shop.dress import Dress
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


@dataclass(frozen=True)
class Dressed:
    """The block that goes into :data:`TEXT`, the dress that it is, and what the control knows before the program."""

    block: str
    dress: Dress
    control: Control
    start: ReadState


@pytest.fixture(scope="module")
def dressed(tmp_path_factory: pytest.TempPathFactory) -> Dressed:
    bench = Bench.of(HOST, "rs274ngc", tmp_path_factory.mktemp("leaks"))
    path, recipe = bench.root / "any.ngc", bench.recipe(HOST)
    path.write_text(TEXT)
    job = prepare_spliced(path, recipe, Asked())
    assert job.text is not None, job.findings
    block = "".join(job.text.splitlines(keepends=True)[job.lines.start - 1 : job.lines.stop - 1])
    machine = load_machine(bench.machine)
    program = draft(load_recipe(recipe), machine, ("north-bench", "flute-rough"), Options(form="block"))
    control = dialect_for(machine).control
    return Dressed(block, program.dress, control, read_state(program, program.state))


def proof(dressed: Dressed, edit: Edit, host: str = TEXT, *, fast: bool = True) -> list[str]:
    """What the proof says of the program whose block was edited. ``fast``: as :func:`gen.reader.lower` has it."""
    above, here, below = host.partition("(DRESS HERE)\n")
    block, control, first = edit(dressed.block), dressed.control, above.count("\n") + 2
    text = above + here + block + below
    point = HostPoint(find(host, control, 7101, None), control, dressed.start)
    point.__dict__["lowered"] = lower(point.text.text, control, fast=fast)
    window = range(first, first + block.count("\n"))
    reading = run(lower(text, control, fast=fast), dressed.start, window=(window,))
    found = Proof(point, HostLines(text), reading, dressed.dress).findings()
    return [finding.message for finding in found if finding.rule == "host-unchanged"]


def test_without_a_leak_the_proof_holds(dressed: Dressed) -> None:
    assert proof(dressed, lambda block: block) == []


@pytest.mark.parametrize("leak", LEAKS)
def test_each_leak_is_noticed(dressed: Dressed, leak: str) -> None:
    assert proof(dressed, LEAKS[leak]) != []


VALUES = {"N": ["7"], "G": ["0", "1"], "F": ["9.", "12.5", "30."]}
PLACES = ["-1.5", "0.", "8.", "20."]
ROWS = st.sampled_from(["XZ", "GXZ", "XZF", "NGXZ", "GXZF", "X", "NZ", "YF", "GA", "XYZ"]).flatmap(
    lambda shape: st.lists(
        st.tuples(*(st.sampled_from([letter + value for value in VALUES.get(letter, PLACES)]) for letter in shape)).map(
            " ".join
        ),
        min_size=1,
        max_size=9,
    ).map("\n".join)
)
"""Plain lines of one shape, which are kept as columns if there are enough of them."""


@settings(max_examples=150, deadline=None)
@given(st.lists(ROWS, max_size=3), st.lists(ROWS, max_size=4), st.sampled_from([None, *LEAKS]), st.booleans())
def test_long_runs_of_plain_lines_hide_no_leak(
    dressed: Dressed, above: list[str], below: list[str], leak: str | None, back: bool
) -> None:
    """The proof of lines in columns says what it says where each of them was read by itself."""
    head, gone, tail = TEXT.partition("G90 G0 X8 Z4\n")
    before, here, _ = tail.partition("(DRESS HERE)\n")
    way_back = "G90 G0 X8 Z4" if back else "G90"
    host = "\n".join([head + gone + "\n".join(above), before + here + way_back, *below, "M2", "%", ""])
    edit = LEAKS[leak] if leak else lambda block: block
    quick, plain = (proof(dressed, edit, host, fast=fast) for fast in (True, False))
    assert quick == plain
