"""A stick that is used up: the program stops, or, where the recipe says so, goes on without the dress and tells it.

What stays of a stick is 30 mm, and a dress takes 4 mm (two plunges of 2 mm over all lanes): from 34 mm on it is long
enough, between 30 and 34 mm used up, and below that no dress of this recipe has left it so.
"""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from controls import mixed
from example_files import MACHINE, tables
from gen.base.errors import DressblockError
from gen.base.toml import as_toml
from gen.bounds.judge import judge
from gen.bounds.readback import read_cases
from gen.control.draft import Program
from gen.jobs.splice import Asked, prepare_spliced
from gen.paper.sheet import sheet
from gen.plan.step import Aux, Coolant, Dwell, Move, Refuse, Spindle, Step, Write
from gen.reader import Reading, ReadState, lower, run
from judge import judge as outside_judge
from lanes import bench
from lanes.bench import DIAMETER, FLAG, LANE, LENGTH, PARTS

GO_ON: dict[str, Any] = {"dress.lanes": "all", "dress.when_used_up": "go-on"}
LAMP = {"codes": {"dress_left_out": "M79"}}
CONTROLS = ("rs274ngc", "hash-variables", "r-variables", mixed.NAME)
EVERY = 4
COUNTING = {**GO_ON, "form": "subprogram", "dress.every_parts": EVERY}
USED_UP = (30.0, 31.7, 33.99)


def read(program: Program, **held: float | None) -> Reading:
    """The program with these registers, the others as for a new wheel and a new stick."""
    there = {"diameter": 125.0, "length": 150.0, "parts": float(EVERY), "lane": 1.0, "flag": 0.0, **held}
    registers: dict[int | str, float | None] = {}
    registers |= zip((DIAMETER, LENGTH, PARTS, LANE, FLAG), there.values(), strict=True)
    return run(lower(program.text, program.dialect.control), ReadState(registers=registers), registers=set(registers))


def left_out(reading: Reading) -> bool:
    """Whether the dress was left out and the program went on: the stick parked, nothing written, told by the word."""
    acts: list[Step] = []
    acts += [step for step in reading.steps if isinstance(step, Move) and (step.axes != ("U",) or step.to["U"] != 0)]
    acts += [step for step in reading.steps if isinstance(step, Spindle) and step.direction != "off"]
    acts += [step for step in reading.steps if isinstance(step, (Write, Dwell, Refuse)) or step == Coolant(0, True)]
    told = any(isinstance(step, Aux) and step.function == "dress-left-out" for step in reading.steps)
    assert told != bool(acts)
    return told


@pytest.mark.parametrize("control", CONTROLS)
@pytest.mark.parametrize("recipe", [GO_ON, COUNTING, {"dress.when_used_up": "go-on"}], ids=["all", "counts", "next"])
def test_it_goes_on_with_a_used_up_stick_and_with_nothing_else(
    control: str, recipe: dict[str, Any], folder: Path
) -> None:
    program = bench.program(control, folder, machine=LAMP, recipe=recipe)
    assert program.accepted, program.findings
    for length in USED_UP:
        assert left_out(read(program, length=length))
        stops: list[dict[str, float | None]] = [{"flag": 1.0}, {"diameter": 99.0}, {"diameter": None}]
        stops += [{"lane": 0.0}] if program.dress.turns else []
        for wrong in stops:  # what has to stop stops first
            assert read(program, **{"length": length, **wrong}).end in ("refused", "end")
            assert any(isinstance(step, Refuse) for step in read(program, **{"length": length, **wrong}).steps)
    for length in (34.0, 150.0):
        assert not left_out(read(program, length=length))
    for never in (0.0, 12.0, 29.9, 151.0, None):  # an unset register, a mistyped one
        assert any(isinstance(step, Refuse) for step in read(program, length=never).steps)


@pytest.mark.parametrize("control", CONTROLS)
def test_the_count_stays_and_a_new_stick_is_used_at_once(control: str, folder: Path) -> None:
    program = bench.program(control, folder, machine=LAMP, recipe=COUNTING)
    for parts in range(EVERY):
        counted = read(program, length=31.0, parts=float(parts))
        assert [(step.register, step.value) for step in counted.steps if isinstance(step, Write)] == [
            (PARTS, parts + 1)
        ]
    for _ in range(3):
        assert left_out(read(program, length=31.0))
    assert not left_out(read(program, length=150.0))


def test_the_judge_goes_on_too(folder: Path) -> None:
    """``rs274`` runs the whole program: a used-up stick parks, no register changes, and the block's last lines run."""
    program = bench.program("rs274ngc", folder, recipe=GO_ON)
    numbers = {DIAMETER: 110.0, PARTS: 4.0, FLAG: 0.0}
    for length in (*USED_UP, 34.0):
        held = {**numbers, LENGTH: length}
        ruling = outside_judge(program.text, registers=held, saved=list(held), letters={"U": "Y"})
        assert not ruling.error
        plunges = [step for step in ruling.steps if isinstance(step, Move) and step.rate is not None]
        assert bool(plunges) == (length >= 34.0)
        assert not any(isinstance(step, Refuse) for step in ruling.steps)
        assert any(isinstance(step, Coolant) and not step.on for step in ruling.steps)
        if not plunges:
            assert {number: ruling.parameters[number] for number in held} == held
            assert {step.axes for step in ruling.steps if isinstance(step, Move)} <= {(), ("U",)}
            assert not any(isinstance(step, Spindle) and step.direction != "off" for step in ruling.steps)


HOST = """G21 G90 G94 G17 G54 G49 G92.2
G64 P0.01
M3 S4000
G4 P3
M8
#100 = 0
O1 while [#100 LT 3]
G53 G0 X200
G53 G0 Z100
(DRESS HERE)
G53 G0 X190
G53 G0 Z100
G1 X15 F200
#100 = [#100 + 1]
O1 endwhile
M2
"""


def test_a_grinding_loop_makes_the_moves_that_it_makes_without_a_dress(tmp_path: Path) -> None:
    """Three parts by ``rs274`` with the dress in the loop and a used-up stick, beside three without any dress."""
    machine, recipe = dict(bench.SHOP["machine"]), dict(bench.SHOP["recipe"])
    machine["axes"] = {**machine["axes"], "X": tables(MACHINE, {})["axes"]["Z"] | {"travel": ["-20 mm", "250 mm"]}}
    recipe["dress"] = {**recipe["dress"], "lanes": "all", "when_used_up": "go-on"}
    (tmp_path / "dress").mkdir()
    (tmp_path / "machine.toml").write_text(as_toml(machine))
    (tmp_path / "dress/narrow.toml").write_text(as_toml(recipe))
    host = tmp_path / "host.ngc"
    host.write_text(HOST)
    job = prepare_spliced(host, tmp_path / "dress/narrow.toml", Asked(back=True))
    assert job.text is not None, job.findings
    held = {DIAMETER: 110.0, LENGTH: 31.0, PARTS: 0.0, FLAG: 0.0, LANE: 1.0}
    moved = []
    for text in (HOST, job.text):
        ruling = outside_judge(text, registers=held, saved=list(held), letters={"U": "Y"})
        assert not ruling.error
        assert {number: ruling.parameters[number] for number in held} == held
        places = [(step.to["X"], step.to["Z"], step.rate) for step in ruling.steps if isinstance(step, Move)]
        moved.append([now for before, now in zip([None, *places], places, strict=False) if before != now])
        turning = [step.rpm for step in ruling.steps if isinstance(step, Spindle)]
        assert set(turning) == {4000.0}
    assert moved[0] == moved[1]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (r"LT 34\]", "LT 60]"),
        (r"GE 34\]", "GE 20]"),
        (r"GE 34\]", "GE 60]"),
        (r"GE 29\.9999\]", "GE 0]"),
        (r"\[#504 EQ 0\]", "[#504 LT 2]"),
        (r"^M79$", ""),
    ],
)
def test_what_was_changed_by_hand_is_found(old: str, new: str, folder: Path) -> None:
    program = bench.program("rs274ngc", folder, machine=LAMP, recipe=GO_ON)
    changed = re.sub(old, new, program.text, count=1, flags=re.MULTILINE)
    assert changed != program.text
    found = judge(read_cases(replace(program, text=changed))).findings
    # beside the proof and the seal a state that was tried tells it in plain words
    assert {one.rule for one in found if one.severity == "error"} - {"all-states", "altered"}


@pytest.mark.parametrize(
    ("control", "machine", "recipe", "said"),
    [
        ("hash-variables", {}, {}, r"shows no message without stopping.*codes\.dress_left_out"),
        ("rs274ngc", {"registers": None}, {}, "must be in a register"),
        ("iso6983", {"registers": None}, {}, "must be in a register"),
        (
            "rs274ngc",
            {"dresser.motion": "incremental", "dresser.stand_off": "4 mm", "dresser.datum": None},
            {},
            "does not know how long the stick is",
        ),
    ],
)
def test_what_could_not_tell_it_is_refused(
    control: str, machine: dict[str, Any], recipe: dict[str, Any], said: str, folder: Path
) -> None:
    with pytest.raises(DressblockError, match=said) as caught:
        bench.program(control, folder, machine=machine, recipe={**GO_ON, **recipe})
    assert "dress.when_used_up" in str(caught.value)


def test_a_prove_out_and_the_first_opening_after_truing_stop_all_the_same(folder: Path) -> None:
    """Somebody stands there; and a wheel that was trued and never opened must not grind."""
    opening = {**GO_ON, "dress.after_truing": {"plunges": 3}}
    for made in (
        bench.program("rs274ngc", folder, machine=LAMP, recipe=GO_ON, purpose="prove-out"),
        bench.program("rs274ngc", folder, machine=LAMP, recipe=opening, after_truing=True),
        bench.program("rs274ngc", folder, machine=LAMP, recipe={"dress.lanes": "all"}),
    ):
        assert made.accepted, made.findings
        assert any(isinstance(step, Refuse) for step in read(made, length=31.0).steps)
        assert "M79" not in made.text


@pytest.mark.parametrize(
    ("language", "told"),
    [
        ("en", ("34 STICK IS USED UP - NO DRESS WAS MADE", "goes on with a loaded wheel", "may break")),
        ("de", ("34 STEIN VERBRAUCHT - NICHT GESCHAERFT", "läuft mit zugesetzter Scheibe weiter", "kann brechen")),
    ],
)
def test_the_sheet_says_it_what_to_do_and_what_it_means(language: str, told: tuple[str, ...], folder: Path) -> None:
    program = bench.program("r-variables", folder, recipe=GO_ON, language=language)
    text = " ".join(sheet(program, language).text.split())
    assert all(words in text for words in told), text
    plain = bench.program("r-variables", folder, recipe={"dress.lanes": "all"}, language=language)
    assert not any(words in " ".join(sheet(plain, language).text.split()) for words in told)
