"""Recipes beyond a limit of machine, wheel or stick: rule, both numbers, and a change that is then accepted.

The numbers are worked out beside each case from design section 4:
F = 0.06 · Aggr · v / cos α, n = 60000 v / (π D). The shop is invented.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from changed import changed
from gen.base.finding import Finding
from gen.bounds.build import build
from gen.control.options import Options
from gen.jobs.advice import revised
from gen.shop.machine import Machine
from gen.shop.recipe import Recipe
from slide_bench import MACHINE, RECIPE

Tables = dict[str, Any]

NUMERIC = changed(MACHINE, control="iso6983", registers=None)
SHUTTLE = changed(
    NUMERIC,
    dresser__motion="incremental",
    dresser__stand_off="3 mm",
    dresser__datum=None,
    dresser__parked=None,
)
CUP = changed(
    RECIPE,
    wheel__contact="face",
    wheel__gauge=["40 mm", "46 mm"],
    wheel__diameter=["100 mm", "125 mm"],
)


def judged(machine: Tables, recipe: Tables) -> list[Finding]:
    return list(build(Recipe.model_validate(recipe), Machine.model_validate(machine), ("bench", "opening")).findings)


def errors(machine: Tables, recipe: Tables) -> list[Finding]:
    return [finding for finding in judged(machine, recipe) if finding.severity == "error"]


BEYOND: list[tuple[str, Tables, Tables, str, tuple[str, ...], tuple[str, ...]]] = [
    # 0.06 · 250 · 20 = 300 mm/min; 240 / (0.06 · 250) = 16 m/s; 240 / (0.06 · 20) = 200
    (
        "feed of the slide",
        changed(MACHINE, dresser__feed=["10 mm/min", "240 mm/min"]),
        RECIPE,
        "plunge-feed",
        ("250 at 20 m/s wants 300 mm/min", "240 mm/min"),
        ("At 16 m/s it fits.", "With a target of 200 it fits."),
    ),
    # 350 / (0.06 · 250) = 23.33 m/s, up: 23.4; 350 / (0.06 · 20) = 291.7, up in fives: 295
    (
        "feed below the slide's least",
        changed(MACHINE, dresser__feed=["350 mm/min", "400 mm/min"]),
        RECIPE,
        "plunge-feed",
        ("300 mm/min", "350 mm/min"),
        ("At 23.4 m/s it fits.", "With a target of 295 it fits."),
    ),
    (
        "feed of the axis",
        changed(MACHINE, axes__U__max_feed="270 mm/min"),
        RECIPE,
        "axis-feed",
        ("300 mm/min", "270 mm/min"),
        ("At 18 m/s it fits.", "With a target of 225 it fits."),
    ),
    # 60000 · 20 / (π · 125) = 3056 rpm; 18 m/s allow 2750 rpm, which is 17.998 m/s
    (
        "speed as marked",
        MACHINE,
        changed(RECIPE, wheel__max_speed="18 m/s"),
        "wheel-speed",
        ("3056 rpm", "20 m/s", "2750 rpm"),
        ("At 17.9 m/s it fits.",),
    ),
    (
        "rpm as marked",
        MACHINE,
        changed(
            RECIPE, wheel__max_speed=None, wheel__max_rpm="2000 rpm", dress__wheel_speed=None, dress__speed="2500 rpm"
        ),
        "wheel-speed",
        ("2500 rpm", "2000 rpm"),
        ("At 2000 rpm it fits.",),
    ),
    # 2900 rpm at 125 mm: 18.98 m/s
    (
        "speed of the spindle",
        changed(MACHINE, spindle__speed=["500 rpm", "2900 rpm"]),
        RECIPE,
        "spindle-range",
        ("3056 rpm", "2900 rpm"),
        ("At 18.9 m/s it fits.",),
    ),
    # 3500 rpm at 125 mm: 22.91 m/s
    (
        "least speed of the spindle",
        changed(MACHINE, spindle__speed=["3500 rpm", "6000 rpm"]),
        RECIPE,
        "spindle-range",
        ("3056 rpm", "3500 rpm"),
        ("At 23 m/s it fits.",),
    ),
    # worn wheel, last stick: 260 - (38 + 50) + 8 = 180 mm
    (
        "travel toward the wheel",
        changed(MACHINE, axes__U__travel=["0 mm", "175 mm"]),
        RECIPE,
        "axis-travel",
        ("180 mm", "175 mm"),
        ("With a min_stick of 35 mm it fits.", "With a worn wheel of 110 mm it fits."),
    ),
    # new wheel, full stick: 220 - (150 + 62.5) = 7.5 mm, parked 2.5 mm from it
    (
        "no room to park",
        changed(MACHINE, axes__U__travel=["5 mm", "190 mm"], dresser__datum="220 mm", dresser__parked="5 mm"),
        RECIPE,
        "rapid-clearance",
        ("5 mm", "150 mm", "2.5 mm from", "4 mm"),
        ("With a new stick of 148.5 mm it fits.",),
    ),
    # 205 - (150 + 62.5) = -7.5 mm, parked 7.5 mm beyond it
    (
        "parked inside the wheel",
        changed(MACHINE, axes__U__travel=["-20 mm", "190 mm"], dresser__datum="205 mm"),
        RECIPE,
        "rapid-clearance",
        ("7.5 mm inside", "4 mm"),
        ("With a new stick of 138.5 mm it fits.", "With parked = -11.5 mm it fits."),
    ),
    (
        "parked outside",
        changed(MACHINE, dresser__parked="-3 mm"),
        RECIPE,
        "axis-travel",
        ("-3 mm", "0 mm"),
        ("With parked = 0 mm it fits.",),
    ),
    # 14 dresses of 8 mm, then 3 + 8: 123 mm; 23 mm over 15 dresses: 1.53 mm less each
    (
        "travel of an incremental slide",
        changed(
            SHUTTLE, axes__U__travel=["0 mm", "100 mm"], dresser__dresses_per_set_up=15, dresser__min_stick="20 mm"
        ),
        RECIPE,
        "axis-travel",
        ("123 mm", "100 mm"),
        ("With a plunge of 6.4 mm it fits.", "With 12 dresses between two set-ups it fits."),
    ),
    (
        "stick of an incremental slide",
        SHUTTLE,
        RECIPE,
        "stick-length",
        ("20 dresses", "160 mm", "150 mm", "15"),
        ("With 15 dresses between two set-ups it fits.", "With a plunge of 6 mm it fits."),
    ),
    # 35 - 8 = 27 mm
    (
        "new stick too short",
        MACHINE,
        changed(RECIPE, stick__length="35 mm"),
        "stick-length",
        ("27 mm", "30 mm"),
        ("With a plunge of 5 mm it fits.", "With a new stick of 38 mm it fits."),
    ),
    (
        "too many plunges for the stick",
        MACHINE,
        changed(RECIPE, stick__length="50 mm", dress__plunges=3),
        "stick-length",
        ("26 mm", "30 mm"),
        ("With 2 plunges it fits.", "With a plunge of 6.6 mm it fits.", "With a new stick of 54 mm it fits."),
    ),
    (
        "jaw",
        changed(MACHINE, dresser__jaw="40 mm"),
        changed(RECIPE, stick__length="50 mm"),
        "stick-length",
        ("jaw and clearance need 44 mm", "42 mm"),
        ("With a plunge of 6 mm it fits.", "With a new stick of 52 mm it fits."),
    ),
    (
        "plunge too deep",
        changed(MACHINE, dresser__max_plunge="6 mm"),
        RECIPE,
        "plunge-depth",
        ("8 mm", "6 mm"),
        ("With a plunge of 6 mm it fits.",),
    ),
    # a stick of 7.6 mm at 40 deg: 7.6 · tan 40 deg = 6.377 mm of bedding-in
    (
        "plunge within the bedding-in",
        changed(MACHINE, dresser__inclination="40 deg", dresser__recentre="+"),
        changed(RECIPE, stick__section=["7.6 mm", "25 mm"], dress__plunge="6 mm", dress__lanes="one"),
        "plunge-depth",
        ("6 mm", "6.377 mm"),
        ("With a plunge of 6.5 mm it fits.",),
    ),
    # groove of 40 mm on 100 mm: 50 - sqrt(2500 - 400) = 4.174 mm; + 0.5 + 1
    (
        "clearance less than the groove",
        MACHINE,
        changed(RECIPE, stick__section=["10 mm", "40 mm"], dress__band=[150, 300]),
        "rapid-clearance",
        ("4 mm", "4.174 mm", "5.674 mm"),
        ("With clearance = 5.7 mm it fits.",),
    ),
    # groove of 20 mm on 100 mm: 50 - sqrt(2500 - 100) = 1.01 mm; + 0.5 + 6
    (
        "rapids by the registers",
        changed(MACHINE, dresser__approach="state"),
        RECIPE,
        "rapid-clearance",
        ("4 mm", "7.51 mm"),
        ("With clearance = 7.6 mm it fits.",),
    ),
    (
        "stand-off",
        changed(SHUTTLE, dresser__stand_off="2 mm", dresser__dresses_per_set_up=10),
        RECIPE,
        "rapid-clearance",
        ("2 mm", "2.51 mm"),
        ("With stand_off = 2.6 mm it fits.",),
    ),
    # middle of the rim 105 mm, inside edge 85 mm: 250 · 105 / 85 = 308.8; 250 · 300 / 308.8 = 242.9, down in fives: 240
    (
        "inside edge of a cup",
        changed(MACHINE, registers__wheel_gauge=505, dresser__datum="250 mm"),
        changed(CUP, wheel__width="20 mm", wheel__diameter=["125 mm", "125 mm"], stick__section=["20 mm", "10 mm"]),
        "aggressiveness",
        ("308.8", "inside edge", "200 to 300"),
        ("With a target of 240 it fits.",),
    ),
    # middle of the new rim 120 mm, inside edge of the worn one 90 mm, and the program knows the gauge alone:
    # 240 · 120 / 90 = 320; 240 · 300 / 320 = 225, of which the step below is taken
    (
        "a cup worn in its diameter",
        changed(MACHINE, registers__wheel_gauge=505, dresser__datum="250 mm"),
        changed(
            CUP,
            wheel__width="5 mm",
            wheel__diameter=["100 mm", "125 mm"],
            stick__section=["5 mm", "10 mm"],
            dress__aggressiveness=240,
        ),
        "aggressiveness",
        ("320", "inside edge", "200 to 300"),
        ("With a target of 220 it fits.",),
    ),
    # one lane of 10 mm in 16 mm: walls of 3 mm, so 6 mm; the stick gives 150 - 30 = 120 mm
    (
        "slot in a wide stick",
        changed(MACHINE),
        changed(RECIPE, stick__section=["16 mm", "20 mm"], dress__lanes="one"),
        "shoulder",
        ("120 mm", "3 mm", "6 mm"),
        ('With lanes = "all" it fits.',),
    ),
    # walls of 40 mm would allow 80 mm, and the stick gives 100 - 30 = 70 mm; the slide goes back by 3 mm only
    (
        "slot that an incremental slide leaves the wheel in",
        SHUTTLE,
        changed(
            RECIPE,
            stick__section=["90 mm", "20 mm"],
            stick__length="100 mm",
            dress__lanes="one",
            dress__plunge="3 mm",
        ),
        "shoulder",
        ("70 mm", "stand-off", "3 mm"),
        ('With lanes = "all" it fits.',),
    ),
]


@pytest.mark.parametrize(
    ("machine", "recipe", "rule", "said", "offered"), [case[1:] for case in BEYOND], ids=[case[0] for case in BEYOND]
)
def test_beyond_a_limit(
    machine: Tables, recipe: Tables, rule: str, said: tuple[str, ...], offered: tuple[str, ...]
) -> None:
    findings = [finding for finding in errors(machine, recipe) if finding.rule == rule]
    assert any(all(part in finding.message for part in said) for finding in findings), findings
    texts = [change.text for finding in findings for change in finding.changes]
    assert [text for text in offered if text not in texts] == []
    for change in {change.text: change for finding in findings for change in finding.changes}.values():
        if change.text in offered:
            tables = {"machine": machine, "recipe": recipe}
            tables[change.file] = revised(tables[change.file], change)
            assert errors(tables["machine"], tables["recipe"]) == [], change


@pytest.mark.parametrize(
    ("machine", "recipe"),
    [
        (MACHINE, RECIPE),
        # 300 mm/min exactly, and 250 as the end of the band: rounding to whole rpm is not a fault
        (changed(MACHINE, dresser__feed=["10 mm/min", "300 mm/min"]), RECIPE),
        (changed(MACHINE, axes__U__max_feed="300 mm/min"), RECIPE),
        (MACHINE, changed(RECIPE, dress__band=[250, 300])),
        (NUMERIC, changed(RECIPE, dress__band=[200, 250])),
        # marked at the speed that is asked for
        (MACHINE, changed(RECIPE, wheel__max_speed="20 m/s")),
        # 38 - 8 = 30 mm left, and 150 - 15 · 8 = 30 mm
        (MACHINE, changed(RECIPE, stick__length="38 mm")),
        (changed(SHUTTLE, dresser__dresses_per_set_up=15), RECIPE),
    ],
)
def test_at_a_limit(machine: Tables, recipe: Tables) -> None:
    assert errors(machine, recipe) == []


def test_a_cap_that_bites_as_the_wheel_wears_is_said() -> None:
    # 3500 rpm make 20 m/s at 109.13 mm; on 100 mm they make 18.33 m/s
    (finding,) = judged(changed(MACHINE, spindle__speed=["500 rpm", "3500 rpm"]), RECIPE)
    assert (finding.rule, finding.severity) == ("spindle-range", "warning")
    assert all(part in finding.message for part in ("109.135 mm", "3500 rpm", "20 m/s", "18.33 m/s")), finding.message


def test_the_edge_of_a_tall_stick_is_a_warning() -> None:
    # sin φ = 70/100 on the worn wheel: cos φ = 0.714, 250 · 0.714 = 178.5
    machine = changed(MACHINE, dresser__clearance="16 mm")
    findings = judged(machine, changed(RECIPE, stick__section=["10 mm", "70 mm"]))
    assert [(finding.rule, finding.severity) for finding in findings] == [("aggressiveness", "warning")]
    assert "178.5" in findings[0].message


def test_inch_machines_are_answered_in_inches() -> None:
    # 0.06 · 250 · 20 mm/min = 11.81 in/min; 10 in/min are 16.93 m/s, 3333 ft/min, down in tens
    machine = changed(NUMERIC, units="inch", dresser__feed=["1 in/min", "10 in/min"])
    recipe = changed(RECIPE, dress__wheel_speed="20 m/s")
    (finding,) = errors(machine, recipe)
    assert "11.81 in/min" in finding.message
    assert "10 in/min" in finding.message
    assert finding.changes[0].text == "At 3330 ft/min it fits."
    assert errors(machine, revised(recipe, finding.changes[0])) == []


@pytest.mark.parametrize(
    ("chosen", "said"),
    [
        (Options(diameter=Decimal("128")), "128 mm; the recipe is for no more than 125 mm"),
        (Options(diameter=Decimal("90")), "90 mm; the recipe is for no less than 100 mm"),
        (Options(length=Decimal("151")), "151 mm; the recipe is for no more than 150 mm"),
    ],
)
def test_numbers_for_a_wheel_or_stick_that_no_guard_would_let_through(chosen: Options, said: str) -> None:
    program = build(Recipe.model_validate(RECIPE), Machine.model_validate(NUMERIC), ("bench", "opening"), chosen)
    assert any(finding.rule == "accept-only" and said in finding.message for finding in program.findings)
    assert not program.accepted


def test_numbers_at_both_ends_of_what_the_guards_let_through() -> None:
    for size in ("100", "125"):
        chosen = Options(diameter=Decimal(size), length=Decimal("38"))
        program = build(Recipe.model_validate(RECIPE), Machine.model_validate(NUMERIC), ("bench", "opening"), chosen)
        assert program.accepted


def slot(recipe: Tables, machine: Tables) -> tuple[float, float]:
    made = build(Recipe.model_validate(recipe), Machine.model_validate(machine), ("bench", "opening"))
    (measure,) = [one for one in made.measures if one.quantity == "slot"]
    return measure.value, measure.limit


def test_sheet_and_table_know_the_stand_off_that_ends_a_slot() -> None:
    """As the rule does: a stick of 40 mm on 10 mm has walls of 15 mm, but the slide goes back by 4 mm only."""
    stand_off = {"dresser__motion": "incremental", "dresser__stand_off": "4 mm", "dresser__datum": None}
    machine = changed(MACHINE, **stand_off, dresser__parked=None, registers=None)
    recipe = changed(RECIPE, stick__section=["40 mm", "20 mm"], dress__lanes="one")
    found = slot(recipe, machine)
    assert found == (120.0, 4.0)
    assert slot(recipe, MACHINE) == (120.0, 30.0)
