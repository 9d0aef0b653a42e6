"""Whole grinding programs that somebody wrote or changed by hand, held against machine and recipe."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from hosts import HOSTS, Bench, Host

from gen.base.errors import DressblockError
from gen.base.finding import Finding
from gen.bounds.readback import read_cases
from gen.host.span import by_marks
from gen.jobs.check import check_program
from gen.jobs.pair import pair_at
from gen.jobs.provenance import Named
from gen.jobs.splice import Asked, prepare_spliced, write_spliced
from gen.reader.spread import pieces

HOST = Host("north-bench", "any.ngc", "flute-rough")

# By hand, numbers only, for a wheel of 125 mm and a stick of 150 mm. Contact at 260 - 150 - 62.5 = 47.5 mm, so that
# a clearance of 4 mm ends at 43.5 and 8 mm of depth at 55.5; 20 m/s on 125 mm are 3056 rpm, 250 of it 300 mm/min.
BY_HAND = """%
(FLUTE, 5 AXES X Y Z A B)
G21 G90 G94 G17 G54
M3 S4000
G4 P3
M8
G0 B12. A0.
X20 Y5 Z5
G1 X15 A30. F200
G0 Y40
G53 G0 X200
(WHEEL OPENED HERE)
G21 G90 G94 G17 G40 G49 G80 G97 G8 G92.2 G61.1
G53 G0 U0
G53 G0 X180
G53 G0 Z42.5
M3 S3056
G4 P3
M8
G4 P2
M49
G53 G0 U43.5
G53 G1 U55.5 F300
G53 G0 U0
G64
M48
M3 S4000
G4 P3
G0 X40 Y40
Z5
X20 Y5
G1 X15 A60. F200
X20
M9
M5
M2
%
"""

LONG_HOST = """G21 G90 G94 G17 G54
G0 X5 Y5
G1 X10 F200
G53 G0 X200
G53 G0 Z120
(DRESS HERE)
G0 X100 Y40 Z100
G1 X10 F200
M2
"""

MARKS = re.compile(r"\((BEGIN|END|MACHINE|RECIPE|FORM|RIGHT)\b")


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench.of(HOST, "rs274ngc", tmp_path)


def found(bench: Bench, text: str) -> list[Finding]:
    path = bench.root / "hosts" / "by-hand.ngc"
    path.write_text(text)
    chosen = Named(machine=bench.machine, recipe=bench.recipe(HOST), find=True)
    return check_program(path, chosen)


def errors(findings: list[Finding]) -> list[tuple[str, int | None, str]]:
    return [(one.rule, one.line, one.certainty) for one in findings if one.severity == "error"]


def line_of(text: str, line: str, occurrence: int = 1) -> int:
    lines = [number for number, one in enumerate(text.splitlines(), 1) if one == line]
    return lines[occurrence - 1]


def test_a_good_dress_is_found_by_its_motion(bench: Bench) -> None:
    assert errors(found(bench, BY_HAND)) == []


def test_the_same_program_taken_for_one_dress_is_not(bench: Bench) -> None:
    path = bench.root / "by-hand.ngc"
    path.write_text(BY_HAND)
    assert errors(check_program(path, Named(machine=bench.machine, recipe=bench.recipe(HOST)))) != []


FAULTS: dict[str, tuple[str, str, str, str]] = {
    "too fast": ("G53 G1 U55.5 F300", "G53 G1 U55.5 F390", "aggressiveness", "G53 G1 U55.5 F390"),
    "too deep": ("G53 G1 U55.5 F300", "G53 G1 U65.5 F300", "plunge-depth", "G53 G1 U65.5 F300"),
    "a rapid into the wheel": ("G53 G0 U43.5", "G53 G0 U50", "rapid-clearance", "G53 G0 U50"),
    "feed of the dress": ("G1 X15 A60. F200", "G1 X15 A60.", "host-continues", "G1 X15 A60."),
    "from where the dress left it": ("G0 X40 Y40", "G1 X40 Y40 F200", "host-continues", "G1 X40 Y40 F200"),
    "a step from there": ("G0 X40 Y40", "G91 G0 X-40\\nG90", "host-continues", "G91 G0 X-40"),
    "at the speed of the dress": ("M48\\nM3 S4000", "M48", "host-continues", "G1 X15 A60. F200"),
    "spindle off": ("M48\\nM3 S4000", "M48\\nM5", "host-continues", "G1 X15 A60. F200"),
    "coolant off": ("M48\\nM3", "M48\\nM9\\nM3", "host-continues", "G1 X15 A60. F200"),
}


@pytest.mark.parametrize("fault", FAULTS)
def test_a_fault_is_reported_at_its_line(bench: Bench, fault: str) -> None:
    old, new, rule, line = (text.replace("\\n", "\n") for text in FAULTS[fault])
    assert old in BY_HAND
    text = BY_HAND.replace(old, new)
    assert (rule, line_of(text, line)) in [(one, at) for one, at, _ in errors(found(bench, text))]


def test_a_mode_left_otherwise_is_reported(bench: Bench) -> None:
    text = BY_HAND.replace("M48\nM3 S4000", "M48\nG91\nM3 S4000")
    assert ("modes-restored", line_of(text, "G91"), "broken") in errors(found(bench, text))


def test_lines_that_may_be_left_out_are_read_both_ways(bench: Bench) -> None:
    text = BY_HAND.replace("G53 G0 X180\n", "/ G53 G0 X180\n")
    assert "approach-path" in {rule for rule, _, _ in errors(found(bench, text))}
    text = BY_HAND.replace("G53 G1 U55.5 F300", "/ G53 G1 U60 F300\nG53 G1 U55.5 F300")
    assert errors(found(bench, text)) != []


def test_no_dress_to_find_is_unusable(bench: Bench) -> None:
    with pytest.raises(DressblockError, match="no dress was found"):
        found(bench, "G21 G90 G94 G17\nG0 X1\nM2\n")


# -- spliced, then changed


@pytest.mark.parametrize("host", HOSTS, ids=str)
def test_a_spliced_program_holds_and_leads_to_its_files(tmp_path: Path, host: Host) -> None:
    control = next(one for one in ("rs274ngc", "hash-variables", "r-variables", "iso6983") if _own(host) == one)
    bench = Bench.of(host, control, tmp_path)
    path = bench.program(host)
    write_spliced(prepare_spliced(path, bench.recipe(host), Asked(after=host.after, back=True)), path)
    assert errors(check_program(path, Named(root=tmp_path))) == []


def _own(host: Host) -> str:
    text = (host.path.parent.parent / "machine.toml").read_text()
    return text.split('control = "')[1].split('"')[0]


CHANGED: dict[str, tuple[Callable[[str], str], set[tuple[str, str]]]] = {
    "a number": (
        lambda text: text.replace("G4 P3 (spindle at speed)", "G4 P0.5 (spindle at speed)"),
        {("altered", "changed"), ("spindle-running", "broken")},
    ),
    "a comment": (lambda text: text.replace("AGGRESSIVENESS", "HARDNESS"), {("altered", "changed")}),
    "an unknown word": (
        lambda text: text.replace("G53 G0 X180", "G53 G0 X180\nG123"),
        {("altered", "changed"), ("unread", "unproven")},
    ),
    "the way back": (
        lambda text: text.replace("(back to where the program stood)", "(back)"),
        {("altered", "changed")},
    ),
    "the program around it": (lambda text: text.replace("N200 G53 G0 X200.", "N200 G53 G0 X201."), set()),
}


@pytest.mark.parametrize("change", CHANGED)
def test_broken_unproven_and_changed_are_kept_apart(tmp_path: Path, change: str) -> None:
    host = HOSTS[0]
    bench = Bench.of(host, "rs274ngc", tmp_path)
    path = bench.program(host)
    write_spliced(prepare_spliced(path, bench.recipe(host), Asked(back=True)), path)
    edit, expected = CHANGED[change]
    text = edit(path.read_text())
    assert text != path.read_text()
    path.write_text(text)
    assert {(rule, certainty) for rule, _, certainty in errors(check_program(path, Named(root=tmp_path)))} == expected


def test_a_call_leads_to_its_subprogram_and_is_sealed_too(bench: Bench) -> None:
    path = bench.root / "called.ngc"
    path.write_text("G21 G90 G94 G17\nG0 X200 Z100\n(DRESS HERE)\nG0 X20\nM2\n")
    write_spliced(prepare_spliced(path, bench.recipe(HOST), Asked(call=True)), path)
    assert [(one.rule, one.line, one.certainty) for one in check_program(path, Named())] == [("recipe", 4, "unproven")]
    path.write_text(path.read_text().replace("G21 G90 G94 G17\nG64", "G21 G91 G94 G17\nG64"))
    assert errors(check_program(path, Named())) == [("altered", 4, "changed")]


# -- a block that reads registers


def test_a_register_block_without_marks_is_found_where_the_recipe_accepts(bench: Bench) -> None:
    path = bench.root / "reads.ngc"
    path.write_text(LONG_HOST)
    write_spliced(prepare_spliced(path, bench.recipe(HOST), Asked()), path)
    marked = path.read_text()
    unmarked = "\n".join(line for line in marked.splitlines() if not MARKS.match(line)) + "\n"
    assert not list(by_marks(unmarked.splitlines()))
    assert errors(found(bench, unmarked)) == []
    wider = unmarked.replace("[#501 GE 100]", "[#501 GE 90]")
    assert ("accept-only", line_of(wider, "O9002 if [#501 GE 90]"), "broken") in errors(found(bench, wider))


def test_the_states_that_a_block_refuses_cost_no_more_for_a_longer_program(bench: Bench) -> None:
    def done(moves: int) -> list[int]:
        path = bench.root / f"long-{moves}.ngc"
        path.write_text(LONG_HOST.replace("G1 X10 F200", "\n".join(f"G1 X{n} Y{n} F{n}" for n in range(1, moves))))
        write_spliced(prepare_spliced(path, bench.recipe(HOST), Asked()), path)
        text = path.read_text()
        program = pair_at(bench.recipe(HOST)).draft()
        good, *others = read_cases(replace(program, text=text))
        refused = [case.reading for case in others if not case.expected.accepted]
        begins = good.reading.windows[0].entry.step
        # what stands before the block was read once, for a state that it accepts
        assert all(one.steps[begins - 1] is good.reading.steps[begins - 1] for one in refused)
        # plain moves behind it stay one stretch, of which nothing is written out
        return [sum(len(one) for one in pieces(each.steps) if isinstance(one, list)) for each in refused]

    assert done(50) == done(500)
    assert len(done(50)) > 10


def test_a_feed_that_nobody_knew_before_the_dress_is_told_so(bench: Bench) -> None:
    text = BY_HAND.replace("G1 X15 A30. F200", "G1 X15 A30. F#5061").replace("G1 X15 A60. F200", "G1 X15 A60.")
    line = line_of(text, "G1 X15 A60.")
    (said,) = [one.message for one in found(bench, text) if (one.rule, one.line) == ("host-continues", line)]
    assert said == ("this still moves at the feed of the dress, 300 mm/min; it was one that is not known before it.")
