"""Few dresses left on the stick are told after a dress, when that is so and only then.

How many are left is counted here dress by dress: what stays, 30 mm, and what each takes.
"""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from controls import mixed
from gen.base.errors import DressblockError
from gen.bounds.judge import judge
from gen.bounds.readback import read_cases
from gen.control.draft import Program
from gen.paper.sheet import sheet
from gen.plan.step import Aux
from gen.reader import ReadState, lower, run
from lanes import bench
from lanes.bench import DIAMETER, FLAG, LANE, LANES, LENGTH, PARTS

ALL: dict[str, Any] = {"dress.lanes": "all", "dress.plunge": "2 mm", "dress.plunges": 2}
LAMP = {"codes": {"stick_low": "M78"}}


def told(program: Program, length: float, lane: float = 1.0) -> bool:
    """Whether the word for a stick that is low follows a dress that begins with this length and lane."""
    held: dict[int | str, float | None] = {DIAMETER: 125.0, LENGTH: length, PARTS: 0.0, LANE: lane, FLAG: 0.0}
    reading = run(lower(program.text, program.dialect.control), ReadState(registers=held), registers=set(held))
    assert not [step for step in reading.steps if step.op == "refuse"]
    return any(isinstance(step, Aux) and step.function == "stick-low" for step in reading.steps)


def left_after(length: float, lane: int | None) -> int:
    """Dresses left after one that begins with ``length``, counted one by one."""
    count = 0
    while length - 4 >= 30 - 1e-9:
        count += 1
        if lane is None or lane == LANES:
            length -= 4
        lane = None if lane is None else lane % LANES + 1
    return count - 1


@pytest.mark.parametrize("control", ["rs274ngc", "hash-variables", "r-variables", mixed.NAME])
@pytest.mark.parametrize("most", [1, 2, 7])
def test_all_lanes_in_one_dress(control: str, most: int, folder: Path) -> None:
    program = bench.program(control, folder, machine=LAMP, recipe={**ALL, "dress.warn_left": most})
    assert program.accepted, program.findings
    for length in (150.0, 74.0, 66.0, 65.99, 62.0, 50.0, 46.0, 45.99, 42.0, 41.99, 38.0, 34.0):
        assert told(program, length) == (left_after(length, None) <= most), length


@pytest.mark.parametrize("control", ["rs274ngc", "hash-variables"])
@pytest.mark.parametrize("most", [1, 5, 6, 8, 13])
def test_one_lane_a_dress(control: str, most: int, folder: Path) -> None:
    program = bench.program(control, folder, machine=LAMP, recipe={"dress.warn_left": most})
    assert program.accepted, program.findings
    for length in (150.0, 46.0, 42.0, 38.0, 34.0):
        for lane in range(1, 2 * LANES + 1):
            up = (lane - 1) % LANES + 1
            assert told(program, length, float(lane)) == (left_after(length, up) <= most), (length, lane)


def test_a_message_is_shown_where_the_control_can(folder: Path) -> None:
    recipe = {**ALL, "dress.warn_left": 2}
    assert "(MSG, 33 STICK LOW - AT MOST 2 DRESSES LEFT)" in bench.program("rs274ngc", folder, recipe=recipe).text
    assert 'MSG("33 STICK LOW - AT MOST 2 DRESSES LEFT")' in bench.program("r-variables", folder, recipe=recipe).text
    by_word = bench.program("hash-variables", folder, machine=LAMP, recipe=recipe)
    assert "STICK LOW" not in by_word.text
    assert "\nM78\n" in by_word.text


def test_a_message_alone_changes_no_step(folder: Path) -> None:
    program = bench.program("rs274ngc", folder, recipe={**ALL, "dress.warn_left": 2})
    assert program.accepted
    assert not told(program, 34.0)


def test_a_control_that_could_not_tell_is_refused(folder: Path) -> None:
    with pytest.raises(DressblockError, match=r"codes\.stick_low") as caught:
        bench.program("hash-variables", folder, recipe={**ALL, "dress.warn_left": 2})
    assert caught.value.key == "dress.warn_left"


def test_dressers_and_machines_that_do_not_know_the_length_are_refused(folder: Path) -> None:
    for machine, said in (
        ({"registers": None}, "in a register"),
        ({"dresser.motion": "incremental", "dresser.stand_off": "4 mm", "dresser.datum": None}, "does not know"),
    ):
        with pytest.raises(DressblockError, match=said):
            bench.program("rs274ngc", folder, machine=machine, recipe={**ALL, "dress.warn_left": 2})


@pytest.mark.parametrize(
    ("old", "new"), [(r"(LT )(\S+?)\]", r"\g<1>20]"), (r"(LT )(\S+?)\]", r"\g<1>200]"), (r"^M78$", "")]
)
def test_a_warning_changed_by_hand_is_found(old: str, new: str, folder: Path) -> None:
    program = bench.program("rs274ngc", folder, machine=LAMP, recipe={**ALL, "dress.warn_left": 2})
    head, tail = program.text.split("(parts since dress)")
    changed = re.sub(old, new, tail, count=1, flags=re.MULTILINE)
    assert changed != tail
    found = judge(read_cases(replace(program, text=f"{head}(parts since dress){changed}"))).findings
    assert {"stick-length", "all-states"} & {one.rule for one in found if one.severity == "error"}


@pytest.mark.parametrize(("language", "said"), [("en", "Only told: the dress is done"), ("de", "Nur ein Hinweis")])
def test_the_sheet_says_that_it_goes_on(language: str, said: str, folder: Path) -> None:
    program = bench.program("rs274ngc", folder, recipe={**ALL, "dress.warn_left": 2})
    assert said in " ".join(sheet(program, language).text.split())
