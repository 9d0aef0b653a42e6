"""What a page shows at every moment, held against the steps that the reader made of the program."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

import pytest

from gen.plan.step import Coolant, Move, Refuse, Spindle, Step, Write

INCH = 25.4


def numbers(text: str) -> dict[str, float]:
    """Positions by axis in mm and degrees, from what the page shows."""
    found = re.findall(r"([A-Z]) (-?[0-9.]+) ?(mm|in|°)", text.replace("−", "-"))
    return {axis: float(value) * (INCH if unit == "in" else 1) for axis, value, unit in found}


def expected(steps: Sequence[Step], start: dict[str, float]) -> Iterator[tuple[Step, dict[str, float]]]:
    here = dict(start)
    for step in steps:
        if isinstance(step, Move):
            here.update(step.to)
        yield step, dict(here)


def holds(told: list[dict[str, str]], steps: Sequence[Step], lines: list[str], start: dict[str, float]) -> None:
    """Every moment against the step it stands for, worked out here from the steps alone."""
    assert len(told) == len(steps) + 1
    rpm = "not known"
    flow = "not known"
    for moment, (step, here) in zip(told[1:], expected(steps, start), strict=True):
        assert moment["source-line"] == f"{step.line}: {lines[step.line - 1]}"
        near = 0.0014 if " in" in moment["position"] else 0.006
        assert numbers(moment["position"]) == pytest.approx(here, abs=near), moment
        match step:
            case Move(op="rapid"):
                assert moment["feed"] == "rapid"
            case Move():
                rate, unit = moment["feed"].split(" ")
                assert float(rate) * (INCH if unit == "in/min" else 1) == pytest.approx(step.rate, abs=0.06 * INCH)
            case Spindle():
                rpm = "off" if step.direction == "off" else f"{step.rpm:g} rpm"
            case Coolant():
                flow = "on" if step.on else "off"
            case Refuse():
                assert step.message in moment["now"]
            case Write():
                assert str(step.register) in moment["now"]
        assert moment["spindle"].startswith(rpm)
        assert moment["coolant"] == flow
