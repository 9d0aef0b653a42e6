"""Expressions made by hypothesis, worked out here and by the outside judge."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from gen.control.folders import load_control
from gen.control.model import Control
from gen.reader import ReadState, read
from gen.reader.expressions import Grammar, Scanner, value_of
from gen.reader.failure import Alarm, NotUnderstood
from gen.reader.unknown import Unknown
from gen.reader.variables import Memory
from judge import judge

NGC = load_control("rs274ngc")
HASH = load_control("hash-variables")
FIRST = 1001


def worked_out(control: Control, text: str, registers: dict[int, float | None] | None = None) -> float | None:
    scanner = Scanner(Grammar(control.variables), text)
    code = scanner.value()
    assert scanner.done(), scanner.rest()
    value = value_of(code, Memory(control, ReadState(registers=dict((registers or {}).items()))))
    assert not isinstance(value, Unknown)
    return value


NUMBERS = st.decimals(0, 20, places=2).map(lambda value: f"{value:f}".rstrip("0").rstrip(".")) | st.sampled_from(
    ["0", "1", ".5", "7.", "-3", "+2", "#1", "#2", "-#3", "##4"]
)
SET = {1: 2.5, 2: -4.0, 3: 0.125, 4: 2.0}


def _exact(inner: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    """Operations that give the same double on every machine, so that rounding and comparing may follow."""
    operators = st.sampled_from(
        ["+", "-", "*", "/", " MOD ", " EQ ", " NE ", " GT ", " GE ", " LT ", " LE ", " AND ", " OR ", " XOR "]
    )
    chain = st.lists(st.tuples(operators, inner), min_size=1, max_size=3).flatmap(
        lambda parts: inner.map(lambda first: "[" + first + "".join(op + value for op, value in parts) + "]")
    )
    words = st.sampled_from(["FIX", "FUP", "ROUND"])
    rounded = st.tuples(words, inner).map(lambda pair: f"{pair[0]}[{pair[1]} MOD 500]")
    return chain | rounded | inner.map(lambda value: f"ABS[{value}]") | inner.map(lambda value: f"-[{value}]")


def _smooth(inner: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    trig = st.tuples(st.sampled_from(["SIN", "COS"]), inner).map(lambda pair: f"{pair[0]}[{pair[1]}]")
    bent = st.tuples(st.sampled_from(["ASIN", "ACOS", "TAN"]), inner).map(lambda pair: f"{pair[0]}[COS[{pair[1]}]]")
    root = st.tuples(st.sampled_from(["SQRT", "LN"]), inner).map(lambda pair: f"{pair[0]}[ABS[{pair[1]}] + 1]")
    grown = inner.map(lambda value: f"EXP[{value} / 500]")
    angle = st.tuples(inner, inner).map(lambda pair: f"ATAN[{pair[0]}]/[ABS[{pair[1]}]+.5]")
    power = st.tuples(inner, st.sampled_from(["2", "3", "-1", ".5"])).map(lambda p: f"[[ABS[{p[0]}]+.5]**{p[1]}]")
    total = st.tuples(inner, st.sampled_from("+-*"), inner).map(lambda p: f"[{p[0]}{p[1]}{p[2]}]")
    return trig | bent | root | grown | angle | power | total


EXACT = st.recursive(NUMBERS, _exact, max_leaves=6)
EXPRESSIONS = (EXACT | st.recursive(EXACT, _smooth, max_leaves=4)).filter(lambda text: len(text) < 180)


@settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.lists(EXPRESSIONS, min_size=40, max_size=40))
def test_expressions_come_to_what_the_judge_says(texts: list[str]) -> None:
    ours = {}
    for number, text in enumerate(texts, FIRST):
        try:
            value = worked_out(NGC, f"[{text}]".replace(" ", ""), {**SET})
        except Alarm:
            continue
        assert value is not None
        if abs(value) < 1e6:
            ours[number] = value
    lines = [f"#{register}={value}" for register, value in SET.items()]
    lines += [f"#{number}=[{texts[number - FIRST]}]" for number in ours]
    verdict = judge("\n".join([*lines, "M2\n"]), saved=ours)
    assert verdict.error == ""
    for number, value in ours.items():
        # the judge's file has six decimals
        assert verdict.parameters[number] == pytest.approx(value, abs=2e-6, rel=1e-9), texts[number - FIRST]


def test_angles_of_every_quadrant() -> None:
    directions = [(1, 1), (1, -1), (-1, -1), (-1, 1), (1, 0), (-1, 0), (0, 1), (0, -1), (2, -3.5)]
    lines = [f"#{FIRST + n}=[ATAN[{y}]/[{x}]]" for n, (y, x) in enumerate(directions)]
    saved = range(FIRST, FIRST + len(directions))
    verdict = judge("\n".join([*lines, "M2\n"]), saved=saved)
    ours = [worked_out(NGC, f"ATAN[{y}]/[{x}]") for y, x in directions]
    assert ours == pytest.approx([verdict.parameters[number] for number in saved], abs=2e-6)


@pytest.mark.parametrize("text", ["1/0", "SQRT[-1]", "ACOS[2]", "LN[0]", "1 MOD 0 / 0", "##7", "[-8]**.5", "#<unset>"])
def test_what_has_no_value_stops_the_judge_and_us(text: str) -> None:
    program = f"G21\n#500=[{text}]\nG0 X1\nM2\n"
    assert judge(program).error
    reading = read(program, NGC)
    assert (reading.steps, reading.end) == ([], "refused")
    assert [entry.line for entry in reading.unread] == [2]


@pytest.mark.parametrize("text", ["[1+2", "1+2]", "[1 PLUS 2]", "SIN 30", "ATAN[1]", "[]", "1 2]", "#", "#<a", "--"])
def test_what_breaks_the_grammar_is_unread(text: str) -> None:
    program = f"G21\n#500={text}\nM2\n"
    assert judge(program).error
    reading = read(program, NGC)
    assert [entry.line for entry in reading.unread] == [2]
    assert [step.op for step in reading.steps] == ["end"]


def test_a_number_has_no_exponent() -> None:
    program = "G21\n#500=1E5\nM2\n"
    assert judge(program).error
    assert [entry.line for entry in read(program, NGC).unread] == [2]


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("[#1EQ#0]", 1.0),
        ("[#2EQ#0]", 0.0),
        ("[#2NE#0]", 1.0),
        ("[#1EQ0]", 0.0),
        ("[#1NE0]", 1.0),
        ("[#1GE0]", 1.0),
        ("[#1LT1]", 1.0),
        ("[#1GT0]", 0.0),
        ("[#1+3]", 3.0),
        ("[#1*3]", 0.0),
        ("#1", None),
        ("#0", None),
        ("[-#1]", 0.0),
        ("FIX[-1.5]", -1.0),
        ("FUP[-1.5]", -2.0),
        ("FUP[1.2]", 2.0),
        ("ROUND[-2.5]", -3.0),
        ("ATAN[1]", 45.0),
        ("ATAN[1]/[-1]", 135.0),
        ("[6AND3]", 2.0),
        ("[6OR3]", 7.0),
        ("[2+3*4EQ14]", 1.0),
        ("[7MOD4+1]", 4.0),
        ("[1.00005EQ1]", 0.0),
    ],
)
def test_hash_variables_tell_empty_from_zero(text: str, value: float | None) -> None:
    """Worked out by hand. From memory: how controls of this kind treat an empty variable, FIX and FUP."""
    result = worked_out(HASH, text, {2: 0.0})
    assert result is None if value is None else result == pytest.approx(value)


def test_a_control_without_variables_has_no_expressions() -> None:
    with pytest.raises(NotUnderstood):
        Scanner(Grammar(None), "[1+2]").value()


def test_minus_zero_never_appears() -> None:
    assert [str(worked_out(NGC, text)) for text in ("[-0]", "-0", "[0*-1]", "ROUND[-0.2]", "-[0]")] == ["0.0"] * 5


@pytest.mark.parametrize("text", ["#-1", "#1.5", "#-1.5", "#[0-2]", "#[5/2]"])
def test_the_number_of_a_variable_is_whole_and_not_below_nought(text: str) -> None:
    with pytest.raises((NotUnderstood, Alarm)):
        worked_out(NGC, text, {1: 7.0, 2: 7.0})


def test_an_empty_variable_counts_as_nought_on_either_side() -> None:
    """Common practice on controls with "#0" empty, no source: in sums and products it is 0."""
    assert worked_out(HASH, "[5+#101]", {101: None}) == 5
    assert worked_out(HASH, "[#101-5]", {101: None}) == -5
    assert worked_out(HASH, "[5*#101]", {101: None}) == 0
