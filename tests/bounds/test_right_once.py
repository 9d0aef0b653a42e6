"""Numbers for one wheel and one stick, and programs that run more than once."""

from __future__ import annotations

from typing import Any

import pytest

from changed import changed
from gen.bounds.build import build
from gen.control.options import Options
from gen.shop.machine import Machine
from gen.shop.recipe import Recipe
from slide_bench import MACHINE, RECIPE

STAND_OFF = changed(
    MACHINE,
    dresser__motion="incremental",
    dresser__stand_off="2 mm",
    dresser__datum=None,
    dresser__parked=None,
    registers=None,
)


@pytest.mark.parametrize(
    ("machine", "recipe", "options", "severities"),
    [
        pytest.param(MACHINE, {"form": "subprogram"}, {"resolve": True}, ["error"], id="a subprogram of numbers"),
        pytest.param(MACHINE, {"dress__every_parts": 6}, {"resolve": True}, ["warning"], id="a count of parts"),
        pytest.param(MACHINE, {}, {"resolve": True}, [], id="one dress"),
        pytest.param(MACHINE, {"form": "subprogram", "dress__every_parts": 6}, {}, [], id="registers"),
        # no stick passes the guards, and that alone is said: 40 mm less 8 mm a dress, and 35 mm must be left
        pytest.param(
            changed(MACHINE, dresser__min_stick="35 mm"),
            {"form": "subprogram", "stick__length": "40 mm"},
            {},
            [],
            id="registers and a stick too short",
        ),
        pytest.param(
            changed(MACHINE, dresser__min_stick="35 mm"),
            {"dress__every_parts": 6, "stick__length": "40 mm"},
            {"resolve": True},
            ["warning"],
            id="numbers and a stick too short",
        ),
        pytest.param(STAND_OFF, {"form": "subprogram", "dress__every_parts": 6}, {}, [], id="from a stand-off"),
        pytest.param(
            MACHINE,
            {"form": "subprogram"},
            {"resolve": True, "purpose": "prove-out"},
            [],
            id="held off, it wears nothing",
        ),
    ],
)
def test_numbers_are_right_once(
    machine: dict[str, Any], recipe: dict[str, Any], options: dict[str, Any], severities: list[str]
) -> None:
    pair = Recipe.model_validate(changed(RECIPE, **recipe)), Machine.model_validate(machine)
    found = [one for one in build(*pair, ("bench", "opening"), Options(**options)).findings if one.rule == "right-once"]
    assert [one.severity for one in found] == severities
    assert all("8 mm shorter after each dress" in one.message for one in found)
