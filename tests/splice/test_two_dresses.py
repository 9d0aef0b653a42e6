"""Two dresses in one grinding program, on controls with registers: each goes on where the other left the stick.

A cell has a rough and a fine wheel with a register each and one stick; others dress one wheel by two recipes. The first
dress makes the stick shorter, so that the second begins with another length than the program did. What the
programs do is read from a register to its last line, and on ``rs274ngc`` held against Debian's ``rs274``.
"""

from __future__ import annotations

import re
import shutil
from dataclasses import dataclass
from itertools import permutations
from pathlib import Path

import pytest
from test_cells import BEGINS, outside_dresses
from test_judge_hosts import GOES_ON, as_judged, canonical

from gen.base.finding import Finding
from gen.base.places import data_folder
from gen.control.draft import Program, draft
from gen.control.folders import load_control
from gen.control.options import Options
from gen.jobs.check import check_program
from gen.jobs.hosts import spliced
from gen.jobs.provenance import Named
from gen.jobs.splice import Asked, Spliced, prepare_spliced, write_spliced
from gen.plan.evaluate import at
from gen.plan.node import State
from gen.plan.step import Move, Refuse, Register, Write
from gen.reader import ReadState, lower, run
from gen.shop.edition import Form
from gen.shop.load import load_machine, load_recipe, machine_file_for

ROUGH, FINE = Path("north-bench/dress/flute-rough.toml"), Path("fine-spindle/dress/flute-finish.toml")
BROACH, NARROW = Path("long-slide/dress/broach-wheel.toml"), Path("relief-spindle/dress/narrow-wheel.toml")
CUP = Path("south-bench/dress/gash-cup.toml")

OUT = {
    "rs274ngc": "G53 G0 X200\nG53 G0 Z120\n",
    "hash-variables": "G53 G0 X-250.\nG53 G0 C0.\n",
    "r-variables": "SUPA G0 Z250\nSUPA G0 Y400\n",
}
PART = {
    "rs274ngc": "G0 X20 Z10\nG1 X15 F200\n",
    "hash-variables": "G0 X1. C45.\nG1 X0. F100.\n",
    "r-variables": "G0 Y20 Z10\nG1 Y15 F300\n",
}
START = {
    "rs274ngc": "G21 G90 G94 G17 G54 G49 G92.2\nG64\nM3 S4100\nG4 P3\nM8\n",
    "hash-variables": "G21 G90 G94 G17 G64 G49\nM4 S2000\nG4 P4000\nM8\n",
    "r-variables": "G710 G90 G94 G17 G40 D0\nG64\nM3 S1800\nG4 F6\nM8\n",
}
END = {"rs274ngc": "M5\nM9\nM2\n", "hash-variables": "M5\nM9\nM30\n", "r-variables": "M5\nM9\nM30\n"}
HERE = {"rs274ngc": "(DRESS HERE {})\n", "hash-variables": "(DRESS HERE {})\n", "r-variables": "; DRESS HERE {}\n"}
AGAIN = {
    "rs274ngc": ("#100 = 0\nO110 while [#100 LT 3]\n#100 = [#100+1]\n", "O110 endwhile\n"),
    "hash-variables": ("#100=0\nN10 #100=#100+1.\n", "IF [#100 LT 3.] GOTO 10\n"),
    "r-variables": ("R10=0\nPART:\nR10=R10+1\n", "IF R10<3 GOTOB PART\n"),
}


@dataclass(frozen=True)
class Cell:
    """A shop with two dresses: their numbers, recipes, and whether it is the recipe's first opening after truing."""

    control: str
    dresses: dict[int, tuple[Path, bool]]

    def __str__(self) -> str:
        return self.control


CELLS = (
    Cell("rs274ngc", {7101: (ROUGH, False), 7102: (FINE, False)}),
    Cell("hash-variables", {7111: (CUP, False), 7211: (CUP, True)}),
    Cell("r-variables", {7151: (BROACH, False), 7152: (NARROW, False)}),
)


def shop(cell: Cell, root: Path) -> Path:
    """The machines of ``cell``: the second wheel has a spindle with registers of its own, and the first one's stick."""
    one, two = (recipe for recipe, _ in cell.dresses.values())
    demo = data_folder("machines") / one.parts[0]
    shutil.copytree(demo, root / one.parts[0])
    if one != two:
        own = {"501": "511", "503": "513", "80": "81", "83": "85"}
        text = (demo / "machine.toml").read_text()
        for key in ("wheel_diameter", "parts_since_dress"):
            text = re.sub(rf"^({key} =) (\d+)", lambda found: f"{found[1]} {own[found[2]]}", text, flags=re.MULTILINE)
        (root / two).parent.mkdir(parents=True)
        (root / two.parts[0] / "machine.toml").write_text(text)
        stick = (demo / "dress" / one.name).read_text().partition("[stick]")[2].partition("[dress]")[0]
        begin, _, rest = (demo / "dress" / two.name).read_text().partition("[stick]")
        end = re.sub(r"overlap.*\n", "", rest.partition("[dress]")[2])
        (root / two).write_text(f"{begin}[stick]{stick}[dress]{end}")
    return root / one.parts[0]


def host(cell: Cell, *, loop: bool = False) -> str:
    control = cell.control
    begin, end = AGAIN[control] if loop else ("", "")
    body = "".join(OUT[control] + HERE[control].format(number) + PART[control] for number in cell.dresses)
    return f"{START[control]}{begin}{body}{OUT[control]}{end}{END[control]}"


def put(path: Path, cell: Cell, number: int, *, call: bool = False) -> Spliced:
    recipe, truing = cell.dresses[number]
    asked = Asked(call=call, back=True, options=Options(after_truing=truing))
    return write_spliced(prepare_spliced(path, path.parent.parent / recipe, asked), path)


def errors(path: Path) -> list[str]:
    """What ``check`` and ``splice --check`` find wrong with the program at ``path``."""
    found = check_program(path, Named())
    for told in spliced(path, Options()):
        assert told.failure is None, told
        found += told.findings
    return [f"{one.line}: {one.message}" for one in found if one.severity == "error"]


def told(job: Spliced) -> list[Finding]:
    return [one for one in job.findings if one.severity == "error"]


def both(cell: Cell, root: Path, *, loop: bool = False, call: tuple[bool, bool] = (False, False)) -> Path:
    path = shop(cell, root) / f"two{load_control(cell.control).file_suffix}"
    path.write_text(host(cell, loop=loop))
    for number, called in zip(cell.dresses, call, strict=True):
        assert told(put(path, cell, number, call=called)) == []
    return path


@pytest.mark.parametrize("order", list(permutations(range(2))), ids=["first", "last"])
@pytest.mark.parametrize("call", [(False, False), (True, False), (False, True), (True, True)], ids=str)
@pytest.mark.parametrize("cell", CELLS, ids=str)
def test_two_dresses_stand_in_one_program(
    tmp_path: Path, cell: Cell, call: tuple[bool, bool], order: tuple[int, int]
) -> None:
    """In either order, each as a block or a call, and alike in a loop; both are as they were when put there again."""
    path = shop(cell, tmp_path) / f"two{load_control(cell.control).file_suffix}"
    path.write_text(host(cell, loop=call[0] == call[1]))
    numbers = list(cell.dresses)
    for one in order:
        job = put(path, cell, numbers[one], call=call[one])
        assert told(job) == []
        assert not [finding for finding in job.findings if finding.certainty == "changed"]
    for one in order:
        assert put(path, cell, numbers[one], call=call[one]).same
    assert errors(path) == []


def registers(cell: Cell, path: Path, numbers: dict[str, float]) -> dict[Register, float | None]:
    """What the registers of both dresses hold: new wheels, and what ``numbers`` says by name."""
    found: dict[Register, float | None] = {}
    for recipe, truing in cell.dresses.values():
        program = drafted(path.parent.parent / recipe, truing=truing)
        values = {**program.state.values, **numbers}
        found |= {number: values[name] for name, number in program.plan.registers.items() if name in values}
    return found


def drafted(recipe: Path, *, truing: bool = False, form: Form = "block") -> Program:
    loaded = load_recipe(recipe)
    machine = machine_file_for(recipe, loaded)
    options = Options(form=form, after_truing=truing)
    return draft(loaded, load_machine(machine), (machine.parent.name, recipe.stem), options)


@pytest.mark.parametrize("cell", CELLS, ids=str)
@pytest.mark.parametrize("loop", [False, True], ids=["once", "loop"])
def test_each_plunges_where_the_one_before_it_has_left_the_stick(tmp_path: Path, cell: Cell, loop: bool) -> None:
    """The plan of each, at the length that the dress before it has written, is what the whole program does."""
    path = both(cell, tmp_path, loop=loop)
    control = load_control(cell.control)
    held = registers(cell, path, {})
    reading = run(lower(path.read_text(), control), ReadState(registers=held))
    assert reading.end == "end"
    moves = [(step.axes, dict(step.to), step.rate) for step in reading.steps if isinstance(step, Move)]
    plunge_axis = drafted(path.parent.parent / next(iter(cell.dresses.values()))[0]).dress.dresser.axis
    assert plunge_axis is not None
    feeds = [(to[plunge_axis], rate) for axes, to, rate in moves if axes == (plunge_axis,) and rate is not None]
    wanted: list[tuple[float, float | None]] = []
    length = None
    for _ in range(3 if loop else 1):
        for recipe, truing in cell.dresses.values():
            program = drafted(path.parent.parent / recipe, truing=truing)
            values = dict(program.state.values)
            values["stick_length"] = values["stick_length"] if length is None else length
            steps = list(at(program.plan, State(values, program.state.positions)))
            wanted += [
                (step.to[plunge_axis], step.rate)
                for step in steps
                if isinstance(step, Move) and step.axes == (plunge_axis,) and step.rate is not None
            ]
            register = program.plan.registers["stick_length"]
            length = [step.value for step in steps if isinstance(step, Write) and step.register == register][-1]
    assert len(feeds) == len(wanted)
    for (place, rate), (there, asked) in zip(feeds, wanted, strict=True):
        assert place == pytest.approx(there, abs=1e-6)
        assert rate == pytest.approx(asked, abs=1e-6)
    assert len({round(place, 4) for place, _ in wanted}) > 2


def test_a_stick_that_the_first_has_used_up_stops_the_program_at_the_second(tmp_path: Path) -> None:
    """41 mm are enough for the rough wheel's 8 mm; what is left is too short for the fine one, whose guard says so."""
    cell = CELLS[0]
    path = both(cell, tmp_path)
    reading = run(
        lower(path.read_text(), load_control("rs274ngc")),
        ReadState(registers=registers(cell, path, {"stick_length": 41.0})),
    )
    assert reading.end == "refused"
    assert sum(step == Write(step.line, 502, 33.0) for step in reading.steps) == 1
    assert ["STICK LENGTH IS BELOW" in step.message for step in reading.steps if isinstance(step, Refuse)] == [True]


@pytest.mark.parametrize(
    ("parts", "due"), [((9.0, 9.0), "both"), ((0.0, 9.0), "the second"), ((0.0, 0.0), "none")], ids=str
)
@pytest.mark.parametrize("call", [(False, False), (True, False), (False, True), (True, True)], ids=str)
def test_the_judge_finds_both_dresses_and_the_same_program_around_them(
    tmp_path: Path, call: tuple[bool, bool], parts: tuple[float, float], due: str
) -> None:
    """A block comes whatever is due; the plunges are those of the plans, one behind the other on one stick."""
    cell = CELLS[0]
    path = both(cell, tmp_path, call=call)
    marked = re.sub(r"^(?=\(BEGIN (DRESS|CALL) )", f"{BEGINS}\n", path.read_text(), flags=re.MULTILINE)
    marked = re.sub(
        r"^(\(END (?:DRESS|CALL|RETURN) .*\n)(?!\(BEGIN RETURN)", rf"\1{GOES_ON}\n", marked, flags=re.MULTILINE
    )
    subprograms = [
        line
        for (recipe, _), called in zip(cell.dresses.values(), call, strict=True)
        if called
        for line in drafted(path.parent.parent / recipe, form="subprogram").text.splitlines()
        if line != "%"
    ]
    held = {501: 110.0, 511: 90.0, 502: 148.0, 504: 0.0, 503: parts[0], 513: parts[1]}
    texts = ("\n".join(subprograms) + f"\n{GOES_ON}\n" + text for text in (host(cell), marked))
    alone, calls = (canonical(as_judged(text, "XZ"), tmp_path, held) for text in texts)
    assert len(outside_dresses(alone)) > 5
    assert outside_dresses(calls) == outside_dresses(alone)
    feeds, length = [], 148.0
    for (recipe, _), called, count, size in zip(cell.dresses.values(), call, parts, (110.0, 90.0), strict=True):
        if called and count < 6.0:
            continue
        program = drafted(path.parent.parent / recipe)
        values = {**program.state.values, "wheel_diameter": size, "stick_length": length}
        for step in at(program.plan, State(values, program.state.positions)):
            if isinstance(step, Move) and step.axes == ("U",) and step.op == "feed":
                feeds.append(step.to["U"])
            elif isinstance(step, Write) and step.register == 502:
                length = step.value
    told_feeds = [one for one in calls if one.startswith("STRAIGHT_FEED")]
    judged = [float(one.partition("(")[2].split(",")[1]) for one in told_feeds]
    plunges = [place for place in judged if place > 0.0]
    assert plunges == pytest.approx(feeds, abs=1e-3)


_OWN = {"stick_length = 502": "stick_length = 512", "in_progress = 504": "in_progress = 514"}
CLASHES = {
    "a wheel is the other's length": (
        {**_OWN, "wheel_diameter = 511": "wheel_diameter = 502"},
        "register 502 is the stick length of dress 7101 and the wheel diameter here",
    ),
    "the length is a working variable": (
        {**_OWN, "[590, 599]": "[500, 509]"},
        "this one works with registers 500 to 509",
    ),
    "one stick and two marks": ({"in_progress = 504": "in_progress = 514"}, "share all registers of a stick, or none"),
    "one mark and two sticks": (
        {"stick_length = 502": "stick_length = 512"},
        "share all registers of a stick, or none",
    ),
    "two units": ({"in_progress = 504": 'in_progress = 504\nunits = "inch"'}, "reads lengths in mm"),
    "one count of two wheels": ({"dress = 513": "dress = 503"}, "register 503 counts the parts of one wheel"),
    "another control": (
        {'"rs274ngc"': '"hash-variables"', 'axis = "U"': 'axis = "U"\nmachine_frame_feeds = true'},
        "dress 7101 is written for another control",
    ),
}


@pytest.mark.parametrize(("changes", "said"), CLASHES.values(), ids=CLASHES)
def test_registers_that_mean_two_things_are_refused(tmp_path: Path, changes: dict[str, str], said: str) -> None:
    cell = CELLS[0]
    path = shop(cell, tmp_path) / "two.ngc"
    path.write_text(host(cell))
    machine = tmp_path / FINE.parts[0] / "machine.toml"
    text = machine.read_text()
    for was, now in changes.items():
        assert was in text
        text = text.replace(was, now, 1)
    machine.write_text(text)
    assert told(put(path, cell, 7101, call=True)) == []
    before = path.read_text()
    found = told(put(path, cell, 7102))
    assert {one.rule for one in found} == {"host-clash"}
    assert any(said in one.message for one in found), found
    assert path.read_text() == before


def test_two_subprograms_do_not_count_in_one_register(tmp_path: Path) -> None:
    cell = CELLS[0]
    path = shop(cell, tmp_path) / "two.ngc"
    path.write_text(host(cell))
    machine = tmp_path / FINE.parts[0] / "machine.toml"
    machine.write_text(machine.read_text().replace("dress = 513", "dress = 503"))
    assert told(put(path, cell, 7101, call=True)) == []
    assert [
        "counts each part in register 503 too" in one.message for one in told(put(path, cell, 7102, call=True))
    ] == [True]


def test_numbers_and_registers_do_not_share_a_stick(tmp_path: Path) -> None:
    cell = CELLS[0]
    path = shop(cell, tmp_path) / "two.ngc"
    path.write_text(host(cell))
    assert told(put(path, cell, 7101)) == []
    job = prepare_spliced(path, tmp_path / FINE, Asked(back=True, options=Options(resolve=True)))
    assert ["shorten one stick" in one.message for one in told(job)] == [True]


@pytest.mark.parametrize("number", [7101, 7102])
def test_a_change_in_either_is_found_with_its_number(tmp_path: Path, number: int) -> None:
    cell = CELLS[0]
    path = both(cell, tmp_path)
    begin, mark, rest = path.read_text().partition(f"BEGIN DRESS {number}")
    assert "G4 P3" in rest
    path.write_text(begin + mark + rest.replace("G4 P3", "G4 P2", 1))
    found = errors(path)
    assert any(f"dress {number} in this program was changed by hand" in one for one in found), found
    other = next(one for one in cell.dresses if one != number)
    assert any("was changed by hand" in one.message for one in told(put(path, cell, other)))
    recipe = tmp_path / cell.dresses[number][0]
    job = write_spliced(prepare_spliced(path, recipe, Asked(back=True)), path, force=True)
    assert told(job) == []
    assert errors(path) == []


@pytest.mark.parametrize("number", [7101, 7102])
def test_a_recipe_that_changed_is_told_with_the_number_of_its_dress(tmp_path: Path, number: int) -> None:
    cell = CELLS[0]
    path = both(cell, tmp_path)
    recipe = tmp_path / cell.dresses[number][0]
    recipe.write_text(re.sub(r"^plunge = .*$", 'plunge = "4 mm"', recipe.read_text(), flags=re.MULTILINE))
    found = errors(path)
    other = next(one for one in cell.dresses if one != number)
    assert any(f"dress {number} is no longer what its recipe and machine give" in one for one in found), found
    assert not [one for one in found if str(other) in one]
    assert told(put(path, cell, number)) == []
    assert errors(path) == []


def test_both_can_be_spliced_again_when_their_machine_changed(tmp_path: Path) -> None:
    """Neither waits for the other to be put right first."""
    cell = CELLS[0]
    path = both(cell, tmp_path)
    for machine in (tmp_path / one / "machine.toml" for one in (ROUGH.parts[0], FINE.parts[0])):
        machine.write_text(machine.read_text().replace('clearance = "4 mm"', 'clearance = "5 mm"'))
    assert len(errors(path)) >= 2
    for number in cell.dresses:
        assert told(put(path, cell, number)) == []
    assert errors(path) == []


BETWEEN = {"G0 X[#502]": 7101, "#101 = [#502/2]\nG0 X#101": 7101, "#502 = 120": 7102, "#594 = 2": 0}
"""A line of the program between the two, and the dress that it keeps out; 0: both."""


@pytest.mark.parametrize(("line", "number"), BETWEEN.items())
def test_the_program_itself_keeps_off_the_registers_of_a_dress(tmp_path: Path, line: str, number: int) -> None:
    """The length is the dresses' own affair, and so are their working variables."""
    cell = CELLS[0]
    path = shop(cell, tmp_path) / "two.ngc"
    path.write_text(host(cell).replace("G0 X20 Z10\n", f"G0 X20 Z10\n{line}\n", 1))
    for other in sorted(cell.dresses, key=lambda one: one == number):
        assert bool(told(put(path, cell, other))) is (number in (0, other))


def test_the_axes_that_the_first_leaves_elsewhere_are_seen_at_the_second(tmp_path: Path) -> None:
    """Nothing stands between them: without a way back the second is told where the first has left the table."""
    cell = CELLS[0]
    path = shop(cell, tmp_path) / "two.ngc"
    machine = tmp_path / ROUGH.parts[0] / "machine.toml"
    for one in (machine, tmp_path / FINE.parts[0] / "machine.toml"):
        one.write_text(one.read_text() + '\n[host]\nsafe = { X = "200 mm", Z = "120 mm" }\n')
    text = host(cell)
    second = text.index("(DRESS HERE 7102)")
    straight = text[: text.index("G0 X20 Z10")] + text[second:]
    path.write_text(straight)
    assert told(put(path, cell, 7102)) == []
    first = prepare_spliced(path, tmp_path / ROUGH, Asked())
    assert {one.rule for one in told(write_spliced(first, path))} == {"host-safe"}
    assert told(put(path, cell, 7101)) == []


def test_a_dress_whose_recipe_is_gone_keeps_the_second_out(tmp_path: Path) -> None:
    cell = CELLS[0]
    path = shop(cell, tmp_path) / "two.ngc"
    path.write_text(host(cell))
    put(path, cell, 7101)
    (tmp_path / ROUGH).unlink()
    assert ["the recipe of dress 7101 is not there" in one.message for one in told(put(path, cell, 7102))] == [True]


ENDS = {"all": "", "one": "cut other parts of its end", "next": "not level between dresses"}


@pytest.mark.parametrize(("lanes", "said"), ENDS.items(), ids=ENDS)
def test_a_stick_is_shared_only_where_both_dresses_leave_its_end_level(tmp_path: Path, lanes: str, said: str) -> None:
    """The fine wheel is narrower than the stick: one lane leaves walls, which the wide wheel would meet too soon."""
    cell = CELLS[0]
    path = shop(cell, tmp_path) / "two.ngc"
    path.write_text(host(cell))
    for machine in tmp_path.glob("*/machine.toml"):
        machine.write_text(machine.read_text().replace("in_progress = 504", "in_progress = 504\nnext_lane = 505"))
    recipe = tmp_path / FINE
    # so short a stick that a slot stays within what its walls allow
    short = re.sub(r"^length = .*$", 'length = "33 mm"', recipe.read_text(), flags=re.MULTILINE)
    text = short.replace('plunge = "5 mm"', 'plunge = "2 mm"') if lanes == "one" else recipe.read_text()
    recipe.write_text(text.replace("[dress]", f'[dress]\nlanes = "{lanes}"'))
    assert told(put(path, cell, 7101)) == []
    found = told(put(path, cell, 7102))
    assert [one.rule for one in found] == (["host-clash"] if said else []), found
    assert all(said in one.message for one in found)


def test_dresses_may_share_an_offset_of_the_dresser(tmp_path: Path) -> None:
    """Each states the offset that the machine file keeps for the dresser, and no line of the program does."""
    cell = CELLS[1]
    machine = shop(cell, tmp_path) / "machine.toml"
    own = '[dresser]\noffset = { word = "G59", values = { W = "0 mm" } }'
    machine.write_text(machine.read_text().replace("machine_frame_feeds = true\n", "").replace("[dresser]", own))
    path = machine.parent / "cell.nc"
    path.write_text(host(cell).replace("M8\n", "M8\nG54\n", 1))
    for number in cell.dresses:
        assert put(path, cell, number).text is not None
    assert errors(path) == []
    path.write_text(path.read_text().replace("G54\n", "IF [#100 LT 2.] GOTO 9\nG52 W5.\nN9 G54\n", 1))
    assert any("shifted along W" in one for one in errors(path))
