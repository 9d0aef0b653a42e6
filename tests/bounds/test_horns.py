"""A cup's rim beside a tall stick: what it never reaches is told, and refused where it is the whole width."""

from __future__ import annotations

from typing import Any

from changed import changed
from gen.base.finding import Finding
from gen.bounds.build import build
from gen.control.options import Options
from gen.shop.dress import Dress
from gen.shop.machine import Machine
from gen.shop.recipe import Recipe
from slide_bench import MACHINE, RECIPE

CUP = {
    "wheel__contact": "face",
    "wheel__gauge": ["40 mm", "46 mm"],
    "wheel__diameter": ["80 mm", "80 mm"],
    "wheel__width": "5 mm",
    "wheel__shape": "6A2",
}


def pair(**recipe: Any) -> tuple[Recipe, Machine]:
    registers = {**MACHINE["registers"], "wheel_gauge": 505}
    machine = changed(MACHINE, dresser__datum="210 mm", registers=registers)
    return Recipe.model_validate(changed(RECIPE, **CUP, **recipe)), Machine.model_validate(machine)


def horns(**recipe: Any) -> list[Finding]:
    found = build(*pair(**recipe), ("bench", "opening"), Options()).findings
    return [one for one in found if one.rule == "horns"]


def test_a_rim_that_never_reaches_the_ends_of_the_stick_is_refused() -> None:
    (found,) = horns(stick__section=["5 mm", "60 mm"])
    assert found.severity == "error"
    assert "never reaches the ends of the stick" in found.message


def test_thin_horns_are_a_warning_with_their_width() -> None:
    # sagitta of 20 mm on 80 mm: 40 − √(1600 − 100) = 1.270 mm
    (found,) = horns(stick__section=["5 mm", "20 mm"])
    assert found.severity == "warning"
    assert "1.27 mm" in found.message


def test_a_low_stick_has_none() -> None:
    # sagitta of 10 mm: 0.314 mm, which crumbles
    assert horns(stick__section=["5 mm", "10 mm"]) == []


def test_the_stick_removed_is_what_the_rim_covers() -> None:
    # 131 of 300 mm² (see the physics' own tests, against polygons)
    wheel = Dress(*pair(stick__section=["5 mm", "60 mm"])).first
    assert round(wheel.removal(100.0) / 100) == 131
