"""Drawn recipes on drawn machines: what Debian's ``rs274`` does is the plan, step for step."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal
from typing import TypeAlias

import pytest
from bench import acting, as_rs274, disagreements, hosted, near, ruling
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from example_files import MACHINE, RECIPE, tables
from gen.bounds.states import refused_states
from gen.control.draft import Program, draft
from gen.control.options import Options
from gen.plan.evaluate import at
from gen.plan.node import State
from gen.plan.step import End, Move, Refuse, Stop
from judge import Verdict
from strategies import Pair, Table, accepted, options, pairs

many = settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.too_slow])


@many
@given(pairs(controls=("rs274ngc",), registers=True, plain=True), st.data())
def test_a_register_program_does_what_the_plan_says(pair: Pair, data: st.DataObject) -> None:
    program = pair.program()
    for _ in range(2):
        state = data.draw(accepted(program.dress))
        assert disagreements(program, state, ruling(program, state)) == []


@many
@given(pairs(controls=("rs274ngc",), registers=False, plain=True), st.data())
def test_a_resolved_program_does_what_the_plan_says(pair: Pair, data: st.DataObject) -> None:
    program = pair.program(data.draw(options(pair.dress())))
    assert disagreements(program, program.state, ruling(program, program.state)) == []


@settings(many, max_examples=100)
@given(pairs(controls=("iso6983",), plain=True, forms=("program", "block")), st.data())
def test_plain_address_words_do_what_the_plan_says(pair: Pair, data: st.DataObject) -> None:
    program = pair.program(data.draw(options(pair.dress())))
    verdict = ruling(program, program.state, as_rs274(hosted(program)))
    assert disagreements(program, program.state, verdict) == []


@settings(many, max_examples=25)
@given(pairs(controls=("rs274ngc",), registers=True, plain=True, forms=("program",)))
def test_a_state_that_must_stop_is_stopped_even_past_a_stop(pair: Pair) -> None:
    program = pair.program()
    passable = re.sub(r"\bM2$", "M0", program.text, flags=re.MULTILINE)
    assert passable.count("M0\n") > 2
    for state in refused_states(program):
        verdict = ruling(program, state)
        assert isinstance(verdict.steps[-1], End)
        assert isinstance(verdict.steps[-2], Refuse)
        assert untouched(program, state, verdict) == []
        pressed_on = ruling(program, state, passable)
        assert any(isinstance(step, Stop) for step in pressed_on.steps)
        assert untouched(program, state, pressed_on) == []


def untouched(program: Program, state: State, verdict: Verdict) -> list[str]:
    """What the judge did that a refused dress must not do: only the plunge axis goes to its parking."""
    park = [] if program.dress.dresser.parked_at is None else at(program.plan, program.dress.state())[:1]
    axis = program.dress.dresser.way
    done = acting(verdict.steps)
    moves = [step for step in done if isinstance(step, Move)]
    expected = [step.to[axis] for step in park if isinstance(step, Move)]
    found = [f"unexpected: {step}" for step in done[len(park) :]]
    if len(moves) != len(expected) or any(
        abs(step.to[axis] - place) > near(program) for step, place in zip(moves, expected, strict=True)
    ):
        found.append(f"moves {moves} in place of parking at {expected}")
    for name, number in program.plan.registers.items():
        before = state.values.get(name, 0.0)
        if abs(verdict.parameters[int(number)] - before) > 1e-6:
            found.append(f"{name} was {before} and is {verdict.parameters[int(number)]}")
    return found


Changes: TypeAlias = dict[str, dict[str, dict[str, object]]]

CHANGES: dict[str, Changes] = {
    "deeper": {"recipe": {"dress": {"plunge": "9.5 mm"}}},
    "harder": {"recipe": {"dress": {"aggressiveness": 299, "band": [200, 300]}}},
    "other coolant": {"recipe": {"dress": {"coolant": True}}},
    "more clearance": {"machine": {"dresser": {"clearance": "12.5 mm"}}},
    "other wait": {"machine": {"spindle": {"spin_up": "9 s"}}},
    "other sense": {"machine": {"spindle": {"direction": "ccw"}}},
}


@pytest.mark.parametrize("change", CHANGES)
def test_a_plan_that_is_not_the_programs_is_noticed(change: str) -> None:
    base = Pair(tables(MACHINE, {}), tables(RECIPE, {"dress.coolant": False}))
    program = base.program()
    state = program.dress.state(Decimal(110), Decimal(120))
    verdict = ruling(program, state)
    assert disagreements(program, state, verdict) == []
    dress = changed(base, CHANGES[change]).dress()
    plan = draft(dress.recipe, dress.machine, ("grinder", "dress"), Options()).plan
    assert disagreements(replace(program, plan=plan), state, verdict) != []
    assert disagreements(program, program.dress.state(Decimal(111), Decimal(120)), verdict) != []


def changed(pair: Pair, changes: Changes) -> Pair:
    def merged(table: Table, new: dict[str, dict[str, object]]) -> Table:
        return {**table, **{key: {**table[key], **values} for key, values in new.items()}}

    return Pair(merged(pair.machine, changes.get("machine", {})), merged(pair.recipe, changes.get("recipe", {})))
