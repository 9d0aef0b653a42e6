"""A control that may forget a register, or run a plunge as a rapid, is refused unless the machine file vouches."""

from __future__ import annotations

from typing import Any

import pytest

from changed import changed
from gen.base.errors import DressblockError
from gen.bounds.build import build
from gen.control.options import Options
from gen.shop.machine import Machine
from gen.shop.recipe import Recipe
from slide_bench import MACHINE, RECIPE


def built(**machine: Any) -> bool:
    pair = Recipe.model_validate(RECIPE), Machine.model_validate(changed(MACHINE, **machine))
    return build(*pair, ("bench", "opening"), Options()).accepted


def test_a_feed_beside_the_machine_frame_word_has_to_be_vouched_for() -> None:
    # common practice, no source: many controls of this kind obey G53 in a rapid only
    assert built(control="hash-variables", dresser__machine_frame_feeds=True)
    with pytest.raises(DressblockError, match="obey G53 in a rapid only") as caught:
        built(control="hash-variables", dresser__machine_frame_feeds=None)
    assert caught.value.key == "dresser.machine_frame_feeds"
    offset = {"word": "G59", "values": {"U": "0 mm", "X": "0 mm", "Z": "0 mm"}}
    assert built(control="hash-variables", dresser__machine_frame_feeds=None, dresser__offset=offset)


def test_the_interpreter_s_own_control_needs_nobody_s_word() -> None:
    assert built(control="rs274ngc", dresser__machine_frame_feeds=None)


@pytest.mark.parametrize(
    ("control", "number", "kept"),
    [
        # NIST IR 6556 numbers parameters 1 to 5400; rs274 keeps 1 to 30 for the subprogram that runs
        ("rs274ngc", 30, False),
        ("rs274ngc", 31, True),
        # common practice, no source: #1 to #33 belong to a subprogram
        ("hash-variables", 33, False),
        ("hash-variables", 34, True),
        ("r-variables", 30, True),
    ],
)
@pytest.mark.parametrize("register", ["in_progress", "stick_length", "wheel_diameter"])
def test_a_register_that_is_local_to_a_subprogram_is_refused(
    control: str, number: int, kept: bool, register: str
) -> None:
    asked: dict[str, Any] = {"control": control, f"registers__{register}": number}
    if kept:
        assert built(**asked)
        return
    with pytest.raises(DressblockError, match="are forgotten when it ends") as caught:
        built(**asked)
    assert caught.value.key == f"registers.{register}"


@pytest.mark.parametrize(
    ("register", "number"),
    [("wheel_diameter", 5220), ("stick_length", 5061), ("in_progress", 5399), ("scratch", [5055, 5061])],
)
def test_a_register_in_which_the_control_keeps_its_own_state_is_refused_by_its_key(register: str, number: Any) -> None:
    """NIST IR 6556, table of parameters: 5161 to 5390 are home, shift and work offsets; 5061 up are probe results."""
    with pytest.raises(DressblockError, match="this control keeps what it does itself") as caught:
        built(control="rs274ngc", **{f"registers__{register}": number})
    assert caught.value.key == f"registers.{register}"
