"""A stick that plunges at an inclination, on a wheel that wears: it stays on the wheel's middle, or the shop is told.

Geometry throughout: on a wheel worn from 125 to 100 mm the line of a plunge at 30 deg crosses the surface
12.5 · tan 30 deg = 7.217 mm aside of where it crossed the new one.
"""

from __future__ import annotations

import math
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq
from shapely import Polygon, box
from shapely.affinity import rotate, translate

from changed import changed
from gen.base.errors import DressblockError
from gen.bounds import judge
from gen.bounds.build import build
from gen.bounds.readback import case_of, read_cases
from gen.control.draft import Program, draft
from gen.control.options import Options
from gen.physics.contact import reach
from gen.plan.step import Move
from gen.reader import lower
from gen.shop.agreement import cross_check
from gen.shop.dress import Dress
from gen.shop.machine import Machine
from gen.shop.recipe import Recipe
from slide_bench import MACHINE, RECIPE

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


def along_the_plunge(diameter: float, beside: float, angle: float) -> float:
    """How far from the wheel's axis, along a plunge through it, a point ``beside`` that line meets the cylinder."""
    slant = math.radians(angle)
    return float(brentq(lambda far: math.hypot(far * math.cos(slant), beside) - diameter / 2, 0.0, 10 * diameter))


@pytest.mark.parametrize("angle", [1.0, 30.0, 60.0])
def test_an_inclined_stick_has_a_deeper_groove(angle: float) -> None:
    # the bottom of the groove and its edges, 10 mm to either side, on the worn wheel of 100 mm: where lines of one
    # direction meet a cylinder, by bisection
    machine = changed(MACHINE, dresser__inclination=f"{angle} deg", dresser__recentre="+")
    stick = {**STICK, "section": ["4 mm", "20 mm"], "length": "120 mm"}
    recipe = changed(RECIPE, stick=stick, dress__lanes="one")
    dress = Dress(Recipe.model_validate(recipe), Machine.model_validate(machine))
    deep = along_the_plunge(100, 0, angle) - along_the_plunge(100, 10, angle)
    assert dress.groove == pytest.approx(deep, abs=1e-9)
    # and as much of the clearance it takes, beside the stick's tolerance of 0.5 mm and 1 mm to spare
    for clearance, enough in ((deep + 1.51, True), (deep + 1.48, False)):
        short = changed(machine, dresser__clearance=f"{clearance:.3f} mm")
        found = built((Recipe.model_validate(recipe), Machine.model_validate(short))).findings
        assert all(one.rule != "rapid-clearance" for one in found) == enough


def test_a_gap_check_of_an_inclined_stick_is_measured_square_to_the_face() -> None:
    # sagittas of 60 mm on 100 and 125 mm, 10 and 7.671 mm: square to the face the edges come 2.329 mm nearer at any
    # angle, and 0.3 mm is to spare
    stick = {**STICK, "section": ["4 mm", "60 mm"], "length": "100 mm"}
    machine = changed(MACHINE, dresser__inclination="60 deg", dresser__recentre="+", dresser__clearance="22 mm")
    recipe = Recipe.model_validate(changed(RECIPE, stick=stick, dress__lanes="one"))
    for gap, enough in (("2.62 mm", False), ("2.64 mm", True)):
        pair = recipe, Machine.model_validate(changed(machine, dresser__check_gap=gap))
        found = built(pair, purpose="gap-check").findings
        assert all(one.rule != "gap-check" for one in found) == enough


def test_without_an_axis_that_follows_the_worn_wheel_is_left_bare() -> None:
    findings = [one for one in built(bench()).findings if one.rule == "side-drift"]
    assert [one.severity for one in findings] == ["error"]
    assert "7.217 mm of the wheel's width is never opened" in findings[0].message
    assert "dresser.recentre" in findings[0].message


@pytest.mark.parametrize(("worn", "bare"), [("125 mm", False), ("121 mm", True)])
def test_a_wheel_that_hardly_wears_needs_nothing(worn: str, bare: bool) -> None:
    rules = {one.rule for one in built(bench(wheel__diameter=[worn, "125 mm"])).findings}
    assert ("side-drift" in rules) is bare


def test_a_stick_wider_than_the_wheel_that_drifts_is_refused() -> None:
    """Aside by 7.217 mm it touches 7.217 · sin 30 deg = 3.608 mm too early."""
    with pytest.raises(DressblockError, match=r"touches up to 3\.61 mm too early|touches up to 3\.608 mm too early"):
        built(bench(stick__section=["21.66 mm", "20 mm"], dress__plunge="14 mm"))
    program = built(bench(recentre="+", stick__section=["21.66 mm", "20 mm"], dress__plunge="14 mm"))
    assert not {"side-drift", "plunge-depth"} & {one.rule for one in program.findings}


def test_a_lane_beside_the_middle_of_a_wide_inclined_stick_is_refused() -> None:
    with pytest.raises(DressblockError, match="touches at another depth than the middle"):
        built(bench(recentre="+", stick__section=["21.66 mm", "20 mm"], dress__plunge="14 mm", wheel__lane="2 mm"))


@settings(max_examples=60)
@given(
    angle=st.floats(1, 60),
    wheel=st.floats(3, 20),
    stick=st.floats(3, 40),
    worn=st.floats(60, 124),
)
def test_what_is_accepted_touches_where_two_polygons_do(angle: float, wheel: float, stick: float, worn: float) -> None:
    """Geometry: wheel and stick as polygons in the axial plane, moved together until they touch (shapely)."""
    recipe, machine = bench(
        stick__section=[f"{stick:.3f} mm", "20 mm"],
        wheel__width=f"{wheel:.3f} mm",
        wheel__diameter=[f"{worn:.3f} mm", "125 mm"],
    )
    dresser = machine.dresser.model_copy(update={"inclination": Decimal(f"{angle:.3f}")})
    machine = machine.model_copy(update={"dresser": dresser})
    dress = Dress(recipe, machine)
    try:
        cross_check(recipe, machine)
    except DressblockError:
        return
    one = dress.first
    for size in (float(one.size_range[0]), 125.0):
        aside = one.drift(size)
        if aside - max(0.0, one.slack) > 0.005:
            continue  # refused by side-drift: part of the wheel is never opened
        expected = touches(float(one.angle), one.geometry.wheel_width, one.geometry.stick_width, size, aside)
        assert reach(one.geometry, 0.0, size) == pytest.approx(expected, abs=0.02)


def touches(angle: float, wheel: float, stick: float, diameter: float, aside: float) -> float:
    """How far along the plunge the stick's end is from where its line crosses the wheel's axis, when it touches."""
    section = box(-diameter / 2, -wheel / 2, diameter / 2, wheel / 2)
    tilt = math.radians(angle)
    end = Polygon([(-400, -stick / 2), (0, -stick / 2), (0, stick / 2), (-400, stick / 2)])
    # the line crosses the surface ``aside`` of the middle, so it crosses the axis further along
    through = aside - diameter / 2 * math.tan(tilt)

    def overlaps(distance: float) -> bool:
        moved = translate(rotate(translate(end, -distance), -angle, origin=(0, 0)), 0, through)
        return bool(moved.intersection(section).area > 1e-9)

    near, far = 0.0, 400.0
    for _ in range(60):
        middle = (near + far) / 2
        near, far = (middle, far) if overlaps(middle) else (near, middle)
    return far


def test_an_axis_that_stays_where_it_should_follow_is_found() -> None:
    pair = bench(recentre="+")
    program = draft(*pair, ("bench", "opening"), Options())
    line = next(line for line in program.text.splitlines() if line.startswith("G53 G0 Z"))
    planted = program.text.replace(line, "G53 G0 Z42.5")
    found = judge(list(read_cases(replace(program, text=planted)))).findings
    assert ("approach-path", program.text.splitlines().index(line) + 1) in {(one.rule, one.line) for one in found}


@pytest.mark.parametrize("without", ["dresser__inclination", "dresser__lateral_axis"])
def test_nothing_to_follow_or_nothing_that_could(without: str) -> None:
    machine = changed(MACHINE, dresser__inclination="30 deg", dresser__recentre="+")
    with pytest.raises((DressblockError, ValueError), match="only an inclined plunge drifts aside"):
        Machine.model_validate(changed(machine, **{without: None}))


@pytest.mark.parametrize("angle", [0, 3, 45])
@pytest.mark.parametrize("stick", ["5 mm", "10.04 mm", "30 mm"])
def test_several_places_across_the_wheel_need_an_axis_that_moves_between_them(angle: int, stick: str) -> None:
    machine = changed(MACHINE, dresser__inclination=f"{angle} deg", dresser__lateral_axis=None)
    recipe = changed(RECIPE, stick__section=[stick, "20 mm"], wheel__lateral=None)
    dress = Dress(Recipe.model_validate(recipe), Machine.model_validate(machine))
    assert len(dress.first.lanes.offsets) > 1
    with pytest.raises(DressblockError, match="no axis moves from lane to lane"):
        cross_check(dress.recipe, dress.machine)
