"""``rs274`` (outside judge) switches the feeder, waits and moves in the order that the plan says.

It has no feeder: here the valve depends on its first digital output (M64, M65),
or on its mist output, which shares a line with a dwell.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from bench import disagreements, hosted, ruling

from feeder_bench import ON_AN_OUTPUT, drafted
from gen.bounds.states import refused_states
from gen.control.options import Options
from gen.plan.evaluate import at
from gen.plan.step import Aux, Coolant, Dwell, Step
from judge import comparable, judge

RECIPES: list[dict[str, object]] = [
    {},
    {"dress.plunges": 3},
    {"stick.section": ["18 mm", "20 mm"], "dress.plunges": 2},
    {"stick.section": ["6 mm", "20 mm"], "dress.coolant": False},
]


@pytest.mark.parametrize("recipe", RECIPES)
@pytest.mark.parametrize("signal", ["", "M66 P1 L3 Q5"])
def test_with_registers(recipe: dict[str, object], signal: str) -> None:
    codes = {**ON_AN_OUTPUT["codes"], **({"feeder_retracted": signal} if signal else {})}
    program = drafted({**ON_AN_OUTPUT, "codes": codes}, recipe)
    for state in program.dress.corners():
        assert disagreements(program, state, ruling(program, state)) == []


def test_with_numbers() -> None:
    program = drafted(ON_AN_OUTPUT, options=Options(diameter=Decimal("111.5"), resolve=True))
    assert disagreements(program, program.state, ruling(program, program.state)) == []


def test_outside_the_limits_the_feeder_is_never_switched_on() -> None:
    program = drafted(ON_AN_OUTPUT)
    for state in refused_states(program):
        steps = ruling(program, state).steps
        assert not any(isinstance(step, Aux) and step.function == "feeder-on" for step in steps)
    fine = ruling(program, program.state).steps
    assert sum(isinstance(step, Aux) and step.function == "feeder-on" for step in fine) == 1


def test_a_longer_dwell_is_noticed() -> None:
    program = drafted(ON_AN_OUTPUT)
    longer = replace(program, text=program.text.replace("G4 P2.4", "G4 P2.5"))
    assert longer.text != program.text
    assert disagreements(program, program.state, ruling(longer, program.state)) != []


def test_in_one_line_it_switches_first_and_then_waits() -> None:
    """NIST IR 6556, order of execution (from memory): coolant before dwell.

    The judge has no file for the builder's words. The dress is dry, so that mist is free to stand for them.
    """
    codes = {"feeder_on": "M110", "feeder_off": "M111"}
    program = drafted({"control": "rs274ngc", "codes": codes}, {"dress.coolant": False})
    assert "M110 G4 P2.4 (feeder out)" in program.text
    verdict = judge(hosted(program).replace("M110", "M7").replace("M111", "M9"))
    assert verdict.error == ""
    seen = [_as_feeder(step) for step in verdict.steps]
    planned = comparable(at(program.plan, program.state))
    assert [_kind(step) for step in seen] == [_kind(step) for step in planned]


def _as_feeder(step: Step) -> Step:
    """Mist on and off as the valve that depends on them."""
    if isinstance(step, Coolant) and not step.on:
        return Aux(0, "M9", "feeder-off")
    return step._replace(function="feeder-on") if isinstance(step, Aux) and step.code == "M7" else step


def _kind(step: Step) -> tuple[str, object]:
    match step:
        case Dwell():
            return step.op, step.seconds
        case Aux():
            return step.op, step.function
    return step.op, None
