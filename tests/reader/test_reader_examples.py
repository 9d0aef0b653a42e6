"""The programs that each control carries, with the steps that were worked out by hand beside them."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from gen.control.folders import control_folder, control_names, load_control
from gen.plan.differences import differences
from gen.plan.step import Register, Step
from gen.reader import Reading, ReadState, read
from judge import ORIGIN, TOLERANCE, comparable, judge

EXAMPLES = [
    pytest.param(name, path, id=f"{name}-{path.stem}")
    for name in control_names()
    for path in sorted((control_folder(name) / "examples").glob("*.toml"))
]


def program_of(path: Path, control: str) -> str:
    return path.with_suffix(load_control(control).file_suffix).read_text()


def reading_of(name: str, path: Path, expected: dict[str, Any]) -> Reading:
    registers: dict[Register, float | None] = {int(key): value for key, value in expected.get("registers", {}).items()}
    state = ReadState(registers=registers, positions=expected.get("positions", {}))
    reported = expected.get("reported")
    return read(
        program_of(path, name), load_control(name), state, registers=None if reported is None else set(reported)
    )


def as_table(step: Step, wanted: dict[str, Any]) -> dict[str, Any]:
    """The fields of ``step`` that ``wanted`` speaks of; a rapid that says no rate has none."""
    fields = step._asdict()
    if step.op == "rapid":
        assert fields["rate"] is None
    return {key: fields[key] for key in wanted}


@pytest.mark.parametrize(("name", "path"), EXAMPLES)
def test_an_example_does_what_was_worked_out(name: str, path: Path) -> None:
    expected = tomllib.loads(path.read_text())
    reading = reading_of(name, path, expected)
    assert len(expected["source"]) > 20
    assert reading.unread == []
    assert reading.end == expected["end"]
    assert len(reading.steps) == len(expected["steps"])
    for step, wanted in zip(reading.steps, expected["steps"], strict=True):
        got = as_table(step, wanted)
        span = {axis: pytest.approx(tuple(ends), abs=1e-5) for axis, ends in wanted.get("span", {}).items()}
        numbers = {key: pytest.approx(wanted[key]) for key in ("to", "rate", "seconds", "value") if key in wanted}
        assert got == {**wanted, **numbers, **({"span": span} if span else {})}


def test_every_control_has_examples() -> None:
    with_examples = {name for name in control_names() if list((control_folder(name) / "examples").glob("*.toml"))}
    assert with_examples == set(control_names()) >= {"rs274ngc", "hash-variables", "iso6983"}


@pytest.mark.parametrize("path", sorted((control_folder("rs274ngc") / "examples").glob("*.toml")), ids=lambda p: p.stem)
def test_the_judge_agrees_with_the_examples(path: Path) -> None:
    """Its axes are X Y Z A B C; what an example does with U, the judge does with X."""
    expected = tomllib.loads(path.read_text())
    slide = "U" in expected.get("positions", {})
    given = {int(number): float(value) for number, value in expected.get("registers", {}).items()}
    text = program_of(path, "rs274ngc")
    verdict = judge(text, registers=given, letters={"U": "X"} if slide else {})
    registers: dict[Register, float | None] = dict(given.items())
    start = {"U" if slide and axis == "X" else axis: 0.0 for axis in ORIGIN}
    reading = read(text, load_control("rs274ngc"), ReadState(registers=registers, positions=start))
    assert verdict.error == ""
    assert differences(comparable(reading.steps), verdict.steps, tolerance=TOLERANCE) == []
