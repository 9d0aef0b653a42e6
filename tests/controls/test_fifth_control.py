"""A control nobody wrote Python for: its reading is the plan, in numbers and registers; and how a shop points at it."""

from __future__ import annotations

import json
import re
import shutil
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from click.testing import Result
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from example_files import GONE, MACHINE, RECIPE, tables
from gen.base.places import data_folder
from gen.bounds.all_states import EXPRESSION_TOLERANCE
from gen.bounds.states import refused_states
from gen.control.folders import load_control
from gen.control.numbers import written
from gen.control.options import Options
from gen.plan.differences import differences
from gen.plan.evaluate import at
from gen.plan.step import Dwell, End, Move, Refuse, Spindle
from gen.reader import Reading, ReadState, read
from runner import invoke
from strategies import Pair, accepted, options, pairs, read_back

from .mixed import NAME

many = settings(
    max_examples=150,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
)
ENDINGS = {"program": "end", "block": "text", "subprogram": "return"}


@many
@given(pairs(controls=(NAME,), registers=False), st.data())
def test_numbers_read_as_planned_to_the_last_digit(folder: Path, pair: Pair, data: st.DataObject) -> None:
    program = pair.program(replace(data.draw(options(pair.dress())), control_folders=(folder,)))
    reading = read_back(program, program.state)
    assert differences(at(program.plan, program.state), reading.steps) == []
    assert (reading.unread, reading.unmodelled, reading.end) == ([], [], ENDINGS[program.edition.form])


@many
@given(pairs(controls=(NAME,), registers=True), st.data())
def test_registers_read_as_planned_at_every_state(folder: Path, pair: Pair, data: st.DataObject) -> None:
    program = pair.program(Options(control_folders=(folder,)))
    assert program.by_registers
    for _ in range(2):
        state = data.draw(accepted(program.dress))
        planned = at(program.plan, state)
        assert any(isinstance(step, Spindle) for step in planned)
        reading = read_back(program, state)
        assert differences(planned, reading.steps, tolerance=EXPRESSION_TOLERANCE) == []
        assert (reading.unread, reading.unmodelled, reading.end) == ([], [], ENDINGS[program.edition.form])


@settings(many, max_examples=40)
@given(pairs(controls=(NAME,), registers=True))
def test_a_state_that_must_stop_is_stopped_however_often_cycle_start_is_pressed(folder: Path, pair: Pair) -> None:
    program = pair.program(Options(control_folders=(folder,)))
    for state in refused_states(program):
        for past_stops in (False, True):
            reading = read_back(program, state, past_stops=past_stops)
            assert reading.end == "refused"
            assert isinstance(reading.steps[-1], Refuse)
            assert sum(isinstance(step, Move) for step in reading.steps) == (not pair.incremental)
            assert not any(isinstance(step, (Spindle, End)) for step in reading.steps)


@pytest.mark.parametrize("step", [None, 1, 1000])
def test_every_line_has_a_number_and_no_two_the_same(folder: Path, step: int | None) -> None:
    """With a step of 1000 the ninth number would be a label's."""
    codes = {} if step is None else {"number_step": step}
    machine = tables(MACHINE, {"control": NAME, "host": GONE, "codes": codes})
    program = Pair(machine, tables(RECIPE, {})).program(Options(control_folders=(folder,)))
    lines = program.text.split("\r\n")
    acting = [line for line in lines if line and line[0] not in "!&"]
    numbers = [int(found[1]) for line in acting if (found := re.match(r"N(\d+)( |$)", line))]
    assert len(acting) == len(numbers) == len(set(numbers)) > 50
    assert [number for number in numbers if not 9000 <= number < 9100][:3] == [n * (step or 10) for n in (1, 2, 3)]


# -- whole numbers in place of decimal points


def reading_of(folder: Path, text: str, registers: dict[int | str, float | None] | None = None) -> Reading:
    return read(text, load_control(NAME, [folder]), ReadState(registers=registers or {}))


@pytest.mark.parametrize(
    ("line", "place"),
    [
        ("G0 X5000", 5.0),
        ("G0 X-1", -0.001),
        ("G0 X5.", 5.0),
        ("G0 X5.5", 5.5),
        ("G0 X0", 0.0),
        # what is worked out is plain: neither constants nor variables count the last place
        ("G0 X(5)", 5.0),
        ("G0 X(R1+5)", 12.0),
        ("G0 XR1", 7.0),
        ("G0 X-R1", -7.0),
        ("G0 A90000", 90.0),
        ("G70 G0 X10000", 25.4),
    ],
)
def test_a_whole_number_behind_a_letter_counts_the_last_place(folder: Path, line: str, place: float) -> None:
    reading = reading_of(folder, f"G71 G90\n{line}\nM2\n", {1: 7.0})
    (move,) = [step for step in reading.steps if isinstance(step, Move)]
    assert list(move.to.values()) == [pytest.approx(place, abs=1e-12)]
    assert reading.unread == []


@pytest.mark.parametrize(
    ("feed", "rate"), [("F3000", 300.0), ("F300.5", 300.5), ("F(300)", 300.0), ("FR1", 7.0), ("F1", 0.1)]
)
def test_so_does_a_feed(folder: Path, feed: str, rate: float) -> None:
    for text in (f"G71 G90 G1 X1. {feed}\n", f"G71 G90 G1\nX1. {feed}\nX2.\n"):
        reading = reading_of(folder, text, {1: 7.0})
        assert {step.rate for step in reading.steps if isinstance(step, Move)} == {rate}


@pytest.mark.parametrize(("wait", "seconds"), [("H250", 2.5), ("H2.5", 2.5), ("H(2)", 2.0), ("HR1", 7.0)])
def test_so_does_a_dwell_in_seconds(folder: Path, wait: str, seconds: float) -> None:
    (dwell, _) = reading_of(folder, f"G7 {wait}\nM2\n", {1: 7.0}).steps
    assert isinstance(dwell, Dwell)
    assert dwell.seconds == seconds


def test_a_speed_does_not(folder: Path) -> None:
    (spindle, _) = reading_of(folder, "M13 S3056\nM2\n").steps
    assert isinstance(spindle, Spindle)
    assert spindle.rpm == 3056


@given(st.decimals(-9999, 9999, places=3))
def test_what_is_written_is_read(folder: Path, value: Decimal) -> None:
    control = load_control(NAME, [folder])
    text = f"G71 G90 G0 X{written(value, 3, control.numbers)}\n"
    (move,) = read(text, control).steps
    assert isinstance(move, Move)
    assert move.to == {"X": float(value)}


# -- how a shop points at its own folder


def dressblock(*words: object) -> Result:
    return invoke(*words)


@pytest.fixture
def machine(tmp_path: Path) -> Path:
    """A machine of the demo shop, on the control of these tests."""
    shutil.copytree(data_folder("machines") / "long-slide", tmp_path / "shop" / "long-slide")
    path = tmp_path / "shop" / "long-slide" / "machine.toml"
    path.write_text(path.read_text().replace('control = "r-variables"', f'control = "{NAME}"'))
    return path


def recipe_of(machine: Path) -> Path:
    return machine.parent / "dress" / "broach-wheel.toml"


def test_by_an_option(folder: Path, machine: Path, tmp_path: Path) -> None:
    made = dressblock("generate", recipe_of(machine), "--out", tmp_path / "out", "--controls", folder)
    assert made.exit_code == 0, made.output
    program = tmp_path / "out" / "long-slide" / "broach-wheel.cnc"
    assert "MACHINE G1 W(R9" in program.read_text()
    known = ("--machine", machine, "--recipe", recipe_of(machine))
    assert dressblock("check", program, *known, "--controls", folder).exit_code == 0
    assert dressblock("check", program, *known).exit_code == 2


def test_by_a_key_of_the_machine_file(folder: Path, machine: Path, tmp_path: Path) -> None:
    shutil.copytree(folder, tmp_path / "shop" / "our-controls")
    machine.write_text(machine.read_text().replace("\n[axes.Y]", '\ncontrols = "../our-controls"\n\n[axes.Y]', 1))
    made = dressblock("generate", recipe_of(machine), "--out", tmp_path / "out", "--json")
    assert made.exit_code == 0, made.output
    (entry,) = json.loads(made.stdout)["programs"]
    known = ("--machine", machine, "--recipe", recipe_of(machine))
    assert dressblock("check", entry["program"], *known).exit_code == 0


def test_a_folder_that_is_not_there_is_told(machine: Path, tmp_path: Path) -> None:
    machine.write_text(machine.read_text().replace("\n[axes.Y]", '\ncontrols = "../nowhere"\n\n[axes.Y]', 1))
    made = dressblock("generate", recipe_of(machine), "--out", tmp_path / "out")
    assert made.exit_code == 2
    assert f"{machine}" in made.stderr
    assert "controls: there is no folder" in made.stderr
    assert "Traceback" not in made.output


def test_a_dress_is_put_into_its_programs_and_checked_there(folder: Path, machine: Path) -> None:
    """Its comment marks, messages, block delete and program numbers are those of no other control."""
    host = machine.parent / "hosts" / "own.cnc"
    host.write_text(
        "! A PROGRAM OF ITS OWN\n&77\nG71 G90 G98 G17 G54\nG40 G80\nR1=0\nM13 S1800\nG7 H600\nM18\n"
        "G0 Y380.\nZ150. F4500\n* G0 Y381.\nY380.\n! DRESS HERE\nG0 Z150.\nY380.\nG1 Y300. F4500\nM2\n"
    )
    words = ("splice", host, recipe_of(machine), "--controls", folder)
    spliced = dressblock(*words)
    assert spliced.exit_code == 0, spliced.output
    text = host.read_text()
    assert text.count("! BEGIN DRESS") == text.count("! END DRESS") == 1
    checked = dressblock("check", host, "--controls", folder)
    assert checked.exit_code == 0, checked.output
    assert "! MACHINE LONG-SLIDE" in text
    host.write_text(text.replace("M18", "M19", 1).replace("MACHINE G1 W", "MACHINE G0 W", 1))
    assert dressblock("check", host, "--controls", folder).exit_code == 1


def test_structured_blocks_have_the_letter_and_the_brackets_of_their_control() -> None:
    control = load_control("rs274ngc")
    rules, flow = control.variables, control.flow
    assert rules is not None
    assert flow.o_words is not None
    own = control.model_copy(
        update={
            "variables": rules.model_copy(update={"brackets": ("{", "}"), "sigil": "&"}),
            "flow": flow.model_copy(update={"o_words": flow.o_words.model_copy(update={"letter": "K"})}),
        }
    )
    text = (
        "G21 G90 G94 G17\nK1 sub\nG0 X&1\nK1 endsub\n&5=0\nK2 while {&5 LT 2}\nK1 call {&5+1}\n&5={&5+1}\nK2 endwhile\n"
    )
    reading = read(text, own)
    assert [step.to["X"] for step in reading.steps if isinstance(step, Move)] == [1.0, 2.0]
    assert reading.unread == []
    assert read("K{1} call\n", own).unread[0].why == "an O word whose number is computed is not read"
