"""The reading of a program's text at a state is the plan at that state, whatever recipe, machine, control and state."""

from __future__ import annotations

from collections.abc import Sequence

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from gen.bounds.all_states import EXPRESSION_TOLERANCE
from gen.bounds.states import refused_states
from gen.plan.differences import differences
from gen.plan.evaluate import at
from gen.plan.step import Coolant, End, Move, Refuse, Spindle, Step, Write
from gen.reader import Ending
from strategies import WITH_VARIABLES, Pair, accepted, options, pairs, read_back

ENDINGS: dict[str, Ending] = {"program": "end", "block": "text", "subprogram": "return"}
thorough = settings(max_examples=250, deadline=None, suppress_health_check=[HealthCheck.too_slow])


@thorough
@given(pairs(), st.data())
def test_a_numeric_program_reads_as_planned_to_the_last_digit(pair: Pair, data: st.DataObject) -> None:
    program = pair.program(data.draw(options(pair.dress())))
    reading = read_back(program, program.state)
    assert differences(at(program.plan, program.state), reading.steps, tolerance=0) == []
    assert reading.unread == []
    assert reading.unmodelled == []
    assert reading.end == ENDINGS[program.edition.form]


@thorough
@given(pairs(controls=WITH_VARIABLES, registers=True), st.data())
def test_a_register_program_reads_as_planned_at_every_state(pair: Pair, data: st.DataObject) -> None:
    program = pair.program()
    assert program.by_registers
    for _ in range(2):
        state = data.draw(accepted(program.dress))
        planned = at(program.plan, state)
        assert any(isinstance(step, Spindle) for step in planned), "an accepted state gets to the wheel"
        reading = read_back(program, state)
        assert differences(planned, reading.steps, tolerance=EXPRESSION_TOLERANCE) == []
        assert reading.unread == []
        assert reading.unmodelled == []
        assert reading.end == ENDINGS[program.edition.form]


@settings(thorough, max_examples=60)
@given(pairs(controls=WITH_VARIABLES, registers=True))
def test_a_state_that_must_stop_moves_nothing_but_the_plunge_axis_to_its_parking(pair: Pair) -> None:
    program = pair.program()
    park = [] if pair.incremental else at(program.plan, program.dress.state())[:1]
    for state in refused_states(program):
        reading = read_back(program, state)
        assert reading.end == "refused", state
        assert any(isinstance(step, Refuse) for step in reading.steps)
        assert isinstance(reading.steps[-1], (Refuse, End))
        assert differences(park, acting(reading.steps)) == [], state
        assert reading.unread == []
        pressed_on = read_back(program, state, past_stops=True)
        assert differences(park, acting(pressed_on.steps)) == [], state


def acting(steps: Sequence[Step]) -> list[Step]:
    """Those of ``steps`` that move something, start something or write."""
    return [step for step in steps if isinstance(step, (Move, Spindle, Coolant, Write))]


HOSTILE = st.one_of(
    st.sampled_from(
        (
            "(MSG, all clear)",
            ") G0 U999 (",
            "MSG, press cycle start",
            "%",
            "O100 sub",
            "o<x> while [1]",
            "; M30",
            "M3 S9000)",
            "N9000 #501=125",
            "\"quoted\" 'twice'",
            "#502=[150] {G1}",
            "[1/0]",
            "END DRESS 7101",
            "BEGIN DRESS 1 SEAL 0000000000000000",
            "PRINT,#501 DEBUG,#502 LOGOPEN,x",
            "ÄÖÜ ß µm ⌀125 → 🙂",
            "/ G0",
            "\\",
        )
    ),
    st.text(st.characters(categories=("L", "N", "P", "S", "Zs")), min_size=1, max_size=120).filter(str.strip),
)


@settings(thorough, max_examples=100)
@given(pairs(), HOSTILE, st.data())
def test_no_title_changes_what_a_program_does(pair: Pair, title: str, data: st.DataObject) -> None:
    if not title.isprintable():
        title = "not printable"
    chosen = data.draw(options(pair.dress()))
    plain, hostile = pair.program(chosen), pair.titled(title).program(chosen)
    read, again = read_back(plain, plain.state), read_back(hostile, hostile.state)
    assert differences(read.steps, again.steps) == []
    assert (again.unread, again.unmodelled, again.end) == ([], [], read.end)
    assert again.modes == read.modes


@settings(thorough, max_examples=100)
@given(pairs(controls=WITH_VARIABLES, registers=True))
def test_the_states_that_are_judged_are_states_the_guards_let_through(pair: Pair) -> None:
    program = pair.program()
    for state in program.dress.corners():
        assert not any(isinstance(step, Refuse) for step in at(program.plan, state)), state
