"""A control without an interpreter of its own: its trace is that of the same recipe and state on one that has a judge.

What both share is the plan; what they do not is everything from words to
reader. Constants have nine digits on the one and twelve on the other, so a
position on the very edge of a step may differ by it: on an inclined plunge, and
where millimetres become inches or a datum is not a whole number of steps.
"""

from __future__ import annotations

from collections.abc import Sequence

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from gen.bounds.all_states import EXPRESSION_TOLERANCE
from gen.bounds.states import refused_states
from gen.control.draft import Program
from gen.plan.differences import differences
from gen.plan.step import End, Refuse, Step
from strategies import Pair, accepted, options, pairs, read_back

many = settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.too_slow])
here, there = "hash-variables", "rs274ngc"


def tolerance(program: Program) -> float:
    grid = program.dialect.grid
    exact = grid.mm_per_unit == program.dress.register_unit == 1 and not program.dress.first.angle
    return EXPRESSION_TOLERANCE if exact else 1.01 * float(grid.length * grid.mm_per_unit)


@many
@given(pairs(controls=(here,), registers=True, plain=True), st.data())
def test_registers(pair: Pair, data: st.DataObject) -> None:
    ours, theirs = pair.program(), pair.on(there).program()
    for _ in range(2):
        state = data.draw(accepted(ours.dress))
        traced, judged = read_back(ours, state), read_back(theirs, state)
        assert differences(traced.steps, judged.steps, tolerance=tolerance(ours)) == []
        assert (traced.end, traced.unread) == (judged.end, [])


@many
@given(pairs(controls=(here,), registers=False, plain=True), st.data())
def test_numbers(pair: Pair, data: st.DataObject) -> None:
    chosen = data.draw(options(pair.dress()))
    ours, theirs = pair.program(chosen), pair.on(there).program(chosen)
    traced, judged = read_back(ours, ours.state), read_back(theirs, theirs.state)
    assert differences(traced.steps, judged.steps, tolerance=tolerance(ours)) == []


@settings(many, max_examples=50)
@given(pairs(controls=(here,), registers=True, plain=True))
def test_refusals(pair: Pair) -> None:
    ours, theirs = pair.program(), pair.on(there).program()
    for state in refused_states(ours):
        traced, judged = read_back(ours, state), read_back(theirs, state)
        assert traced.end == judged.end == "refused"
        if state.values:
            assert differences(before_the_end(traced.steps), before_the_end(judged.steps)) == []


def before_the_end(steps: Sequence[Step]) -> list[Step]:
    """``steps`` up to the refusal: the one control ends its program there, the other stands in its alarm.

    Of a message its number is told: the words are as long as the control's display.
    """
    assert any(isinstance(step, Refuse) for step in steps)
    return [
        step._replace(message=step.message.partition(" ")[0]) if isinstance(step, Refuse) else step
        for step in steps
        if not isinstance(step, End)
    ]
