"""The same recipe at the same state gives the same steps, to the last digit, here and where there is a judge.

Neither this control nor that one knows of the other; what they share is the
plan, and that both write constants with twelve digits.
"""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from gen.bounds.states import refused_states
from gen.plan.differences import differences
from gen.plan.step import End, Move, Refuse
from strategies import Pair, accepted, options, pairs, read_back

many = settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
here, there = "r-variables", "rs274ngc"


@many
@given(pairs(controls=(here,), registers=True, plain=True), st.data())
def test_registers(pair: Pair, data: st.DataObject) -> None:
    ours, theirs = pair.program(), pair.on(there).program()
    for _ in range(2):
        state = data.draw(accepted(ours.dress))
        traced, judged = read_back(ours, state), read_back(theirs, state)
        # neither has a word for what the other locks
        assert differences([step for step in traced.steps if step.op != "aux"],
                           [step for step in judged.steps if step.op != "aux"]) == []  # fmt: skip
        assert (traced.end, traced.unread, traced.unmodelled) == (judged.end, [], [])


@many
@given(pairs(controls=(here,), registers=False, plain=True), st.data())
def test_numbers(pair: Pair, data: st.DataObject) -> None:
    chosen = data.draw(options(pair.dress()))
    ours, theirs = pair.program(chosen), pair.on(there).program(chosen)
    traced, judged = read_back(ours, ours.state), read_back(theirs, theirs.state)
    assert differences([step for step in traced.steps if step.op != "aux"],
                       [step for step in judged.steps if step.op != "aux"]) == []  # fmt: skip


@settings(many, max_examples=50)
@given(pairs(controls=(here,), registers=True, plain=True))
def test_refusals(pair: Pair) -> None:
    ours, theirs = pair.program(), pair.on(there).program()
    for state in refused_states(ours):
        traced, judged = read_back(ours, state), read_back(theirs, state)
        assert traced.end == judged.end == "refused"
        for reading in (traced, judged):
            assert any(isinstance(step, Refuse) for step in reading.steps)
        if state.values:
            assert differences(traced.steps, [step for step in judged.steps if not isinstance(step, End)]) == []
        pressed_on = read_back(ours, state, past_stops=True)
        assert [step for step in pressed_on.steps if isinstance(step, Move)] == [
            step for step in traced.steps if isinstance(step, Move)
        ]
