"""A stick that plunges at an inclination, on a wheel that wears: it stays on the wheel's middle, or the shop is told.

Geometry throughout: on a wheel worn from 125 to 100 mm the line of a plunge at 30 deg crosses the surface
12.5 · tan 30 deg = 7.217 mm aside of where it crossed the new one.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from dress_block import MACHINE, RECIPE

from changed import changed
from gen.base.errors import DressblockError
from gen.bounds import judge
from gen.bounds.build import build
from gen.bounds.readback import case_of, read_cases
from gen.control.draft import Program, draft
from gen.control.options import Options
from gen.plan.step import Move
from gen.reader import lower
from gen.shop.machine import Machine
from gen.shop.recipe import Recipe

# 8.66 mm square to the plunge is 10 mm along the wheel's face, as wide as the wheel
STICK = {"section": ["8.66 mm", "20 mm"], "length": "150 mm", "grit": "F400"}
ASIDE = Decimal("7.217")


def bench(*, recentre: str | None = None, control: str = "rs274ngc", **recipe: Any) -> tuple[Recipe, Machine]:
    machine = changed(MACHINE, control=control, dresser__inclination="30 deg", dresser__recentre=recentre)
    if control == "iso6983":
        machine = changed(machine, registers=None)
    return (
        Recipe.model_validate(changed(RECIPE, stick=STICK, dress__lanes="one", **recipe)),
        Machine.model_validate(machine),
    )


def built(pair: tuple[Recipe, Machine], **options: Any) -> Program:
    return build(*pair, ("bench", "opening"), Options(**options))


def places(program: Program, diameter: str) -> list[float]:
    """Where the lateral axis is sent, mm, with a wheel of ``diameter`` mm."""
    state = program.dress.state(Decimal(diameter))
    text = program.text
    case = case_of(program, lower(text, program.dialect.control), state, text=text, agree=True)
    return [step.to["Z"] for step in case.reading.steps if isinstance(step, Move) and step.axes == ("Z",)]


@pytest.mark.parametrize("control", ["rs274ngc", "hash-variables", "r-variables"])
@pytest.mark.parametrize(("recentre", "worn"), [("+", Decimal("42.5") + ASIDE), ("-", Decimal("42.5") - ASIDE)])
def test_the_lateral_axis_follows_the_registers(control: str, recentre: str, worn: Decimal) -> None:
    program = built(bench(recentre=recentre, control=control))
    assert program.accepted, program.findings
    assert places(program, "125") == [pytest.approx(42.5, abs=0.001)]
    assert places(program, "100") == [pytest.approx(float(worn), abs=0.001)]


def test_a_numeric_program_has_the_place_of_its_own_wheel() -> None:
    program = built(bench(recentre="-", control="iso6983"), diameter=Decimal(100))
    assert program.accepted, program.findings
    assert "Z35.283" in program.text


def test_without_an_axis_that_follows_the_worn_wheel_is_left_bare() -> None:
    findings = [one for one in built(bench()).findings if one.rule == "side-drift"]
    assert [one.severity for one in findings] == ["error"]
    assert "7.217 mm of the wheel's width is never opened" in findings[0].message
    assert "dresser.recentre" in findings[0].message


@pytest.mark.parametrize(("worn", "bare"), [("125 mm", False), ("121 mm", True)])
def test_a_wheel_that_hardly_wears_needs_nothing(worn: str, bare: bool) -> None:
    rules = {one.rule for one in built(bench(wheel__diameter=[worn, "125 mm"])).findings}
    assert ("side-drift" in rules) is bare


def test_a_stick_that_is_wide_enough_covers_the_drift() -> None:
    """25 mm along the face reach 7.5 mm past either edge of a wheel of 10 mm; 24.4 mm reach 7.2 mm."""
    for across, bare in (("21.66 mm", False), ("21.12 mm", True)):
        program = built(bench(stick__section=[across, "20 mm"], dress__plunge="14 mm"))
        assert ("side-drift" in {one.rule for one in program.findings}) is bare, across


def test_an_axis_that_stays_where_it_should_follow_is_found() -> None:
    pair = bench(recentre="+")
    program = draft(*pair, ("bench", "opening"), Options())
    line = next(line for line in program.text.splitlines() if line.startswith("G53 G0 Z"))
    planted = program.text.replace(line, "G53 G0 Z42.5")
    found = judge(list(read_cases(replace(program, text=planted))))
    assert ("approach-path", program.text.splitlines().index(line) + 1) in {(one.rule, one.line) for one in found}


@pytest.mark.parametrize("without", ["dresser__inclination", "dresser__lateral_axis"])
def test_nothing_to_follow_or_nothing_that_could(without: str) -> None:
    machine = changed(MACHINE, dresser__inclination="30 deg", dresser__recentre="+")
    with pytest.raises((DressblockError, ValueError), match="only an inclined plunge drifts aside"):
        Machine.model_validate(changed(machine, **{without: None}))
