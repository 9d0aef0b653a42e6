"""The keys of a timed dresser: what is asked for, what is refused, and the words that switch it."""

from __future__ import annotations

from typing import Any

import pytest
from pydantic import ValidationError

from feeder_bench import MACHINE, ON_AN_OUTPUT, built, drafted, machine
from gen.base.errors import DressblockError
from gen.base.places import data_folder
from gen.shop.load import load_machine, load_recipe


def refusal(changes: dict[str, Any]) -> str:
    with pytest.raises(ValidationError) as caught:
        machine(changes)
    return str(caught.value)


@pytest.mark.parametrize("key", ["rate", "rate_tolerance", "stand_off", "retract_wait", "min_stick"])
def test_needed(key: str) -> None:
    said = refusal({f"dresser.{key}": None})
    assert key in said


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("plunge_axis", "U"),
        ("toward_wheel", "+"),
        ("datum", "260 mm"),
        ("parked", "0 mm"),
        ("clearance", "4 mm"),
        ("feed", ["10 mm/min", "400 mm/min"]),
        ("motion", "incremental"),
        ("approach", "state"),
    ],
)
def test_senseless(key: str, value: object) -> None:
    assert f"{key}: a timed feeder has no plunge axis" in refusal({f"dresser.{key}": value})


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("rate", "0 mm/min"),
        ("rate", 300),
        ("rate_tolerance", 5),
        ("rate_tolerance", "0.05"),
        ("rate_tolerance", "51 %"),
        ("retract_wait", "0 s"),
        ("on_hold", "returns"),
        ("single_block", True),
    ],
)
def test_wrong_values(key: str, value: object) -> None:
    assert key in refusal({f"dresser.{key}": value})


@pytest.mark.parametrize(
    ("key", "value"),
    [("rate", "300 mm/min"), ("on_hold", "retracts"), ("self_adjusting", False), ("retract_wait", "1 s")],
)
def test_only_a_timed_dresser_has_them(key: str, value: object) -> None:
    slide = {
        "kind": "slide",
        "plunge_axis": "X",
        "toward_wheel": "+",
        "datum": "200 mm",
        "parked": "0 mm",
        "clearance": "4 mm",
        "feed": ["10 mm/min", "400 mm/min"],
        "min_stick": "30 mm",
    }
    machine({"dresser": slide, "codes": {}})
    assert 'kind = "timed"' in refusal({"dresser": {**slide, key: value}, "codes": {}})


def test_another_dresser_still_needs_its_axis() -> None:
    nameless = {"kind": "slide", "plunge_axis": "", "toward_wheel": "+", "clearance": "4 mm", "min_stick": "30 mm"}
    assert "plunge_axis" in refusal({"dresser": {**nameless, "feed": ["1 mm/min", "2 mm/min"]}, "codes": {}})


def test_dresses_between_two_set_ups() -> None:
    assert machine().dresser.gap == 4
    assert machine().dresser.per_set_up == 1
    assert machine({"dresser.self_adjusting": True}).dresser.per_set_up == 20
    assert "set anew after every dress" in refusal({"dresser.dresses_per_set_up": 2})


@pytest.mark.parametrize("key", ["feeder_on", "feeder_off"])
def test_the_words_are_missing(key: str) -> None:
    with pytest.raises(DressblockError, match=f"codes.{key}"):
        drafted({f"codes.{key}": None})


def test_two_words_of_one_letter_cannot_share_a_line() -> None:
    with pytest.raises(DressblockError, match="both need the word P"):
        drafted({**ON_AN_OUTPUT, "dresser.single_block": "one-line"})


def test_no_axis_moves_at_all() -> None:
    still = {**MACHINE["dresser"]}
    del still["at"], still["lateral_axis"]
    program = built({"axes": {}, "dresser": still}, {"wheel.lateral": None})
    assert program.accepted
    assert "G53" not in program.text


def test_the_demo_shop_has_one() -> None:
    folder = data_folder("machines") / "air-feeder"
    assert load_machine(folder / "machine.toml").dresser.kind == "timed"
    assert len([load_recipe(path) for path in (folder / "dress").glob("*.toml")]) >= 2
