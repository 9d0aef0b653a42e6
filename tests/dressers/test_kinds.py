"""Which kind of dresser a machine file asks for, which keys it then has, and what is said of the others."""

from __future__ import annotations

import copy
import tomllib
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from pydantic import ValidationError

from gen.base.errors import explain
from gen.base.places import data_folder
from gen.dressers import KINDS
from gen.dressers.datum_slide import DatumSlide
from gen.dressers.stand_off_slide import StandOffSlide
from gen.dressers.timed_feeder import TimedFeeder
from gen.shop.machine import Machine

SHOP = data_folder("machines")
SCHEMA = Draft202012Validator(Machine.model_json_schema())


def changed(machine: str, **keys: Any) -> dict[str, Any]:
    """The tables of a machine of the demo shop with other keys in ``[dresser]``; None takes a key out."""
    tables = tomllib.loads((SHOP / machine / "machine.toml").read_text("utf-8"))
    tables["dresser"] = {key: value for key, value in {**tables["dresser"], **keys}.items() if value is not None}
    return tables


def refused(tables: dict[str, Any]) -> list[str]:
    with pytest.raises(ValidationError) as caught:
        Machine.model_validate(tables)
    return list(explain(caught.value, Machine).sentences)


@pytest.mark.parametrize(
    ("machine", "kind"),
    [("north-bench", DatumSlide), ("inch-table", DatumSlide), ("shuttle", StandOffSlide), ("air-feeder", TimedFeeder)],
)
def test_a_kind_is_a_type_with_its_own_keys(machine: str, kind: type) -> None:
    dresser = Machine.model_validate(changed(machine)).dresser
    assert type(dresser) is kind
    foreign = {key for other in KINDS for key in other.model_fields} - set(kind.model_fields)
    assert foreign
    assert not [key for key in foreign if hasattr(dresser, key)]


def test_a_table_is_never_set_to_a_stand_off() -> None:
    for keys in ({"motion": "incremental"}, {"motion": "incremental", "stand_off": "2 mm"}):
        (said,) = refused(changed("inch-table", **keys))
        assert said.startswith("dresser.motion: a table moves while it grinds too, so that the stand-off would be")


@pytest.mark.parametrize(
    ("machine", "keys", "sentences"),
    [
        ("north-bench", {"rate": "300 mm/min"}, ['dresser.rate: only a timed feeder has this key; take it out, or']),
        ("north-bench", {"motion": "abs"}, ['dresser.motion: read "abs"; it must be "absolute" or "incremental".']),
        ("north-bench", {"clearance": None, "clearence": "4 mm"}, ["dresser.clearance: this", "dresser.clearence:"]),
        ("north-bench", {"kind": None}, ["dresser.kind: this key is missing; it gives what moves the stick"]),
        ("north-bench", {"kind": ["slide"]}, ['dresser.kind: read a list; it must be "slide", "table" or "timed".']),
        ("shuttle", {"rate_tolerance": "5 %"}, ["dresser.rate_tolerance: only a timed feeder has this key"]),
        ("air-feeder", {"plunge_axis": "U"}, ["dresser.plunge_axis: a timed feeder has no plunge axis"]),
        ("air-feeder", {"rate": None}, ["dresser.rate: this key is missing; it gives the speed in mm/min that the"]),
    ],
)  # fmt: skip
def test_one_slip_is_said_once_and_of_the_kind_that_was_meant(
    machine: str, keys: dict[str, Any], sentences: list[str]
) -> None:
    said = refused(changed(machine, **keys))
    assert len(said) == len(sentences)
    assert [found for found, start in zip(said, sentences, strict=True) if not found.startswith(start)] == []


@pytest.mark.parametrize("machine", sorted(path.parent.name for path in SHOP.glob("*/machine.toml")))
def test_an_editor_marks_one_slip_once(machine: str) -> None:
    good = changed(machine)
    assert list(SCHEMA.iter_errors(good)) == []
    typed = copy.deepcopy(good)
    typed["dresser"]["min_stik"] = "30 mm"
    (error,) = SCHEMA.iter_errors(typed)
    assert "min_stik" in error.message
    assert len(list(SCHEMA.iter_errors(changed(machine, min_stick=None)))) == 1


@pytest.mark.parametrize(
    ("machine", "keys"),
    [
        ("north-bench", {"rate": "300 mm/min"}),
        ("north-bench", {"datum": None}),
        ("inch-table", {"motion": "incremental"}),
        ("shuttle", {"stand_off": None}),
        ("air-feeder", {"motion": "incremental"}),
        ("air-feeder", {"feed": ["1 mm/min", "2 mm/min"]}),
        ("north-bench", {"kind": "slid"}),
    ],
)
def test_an_editor_refuses_what_the_reader_refuses(machine: str, keys: dict[str, Any]) -> None:
    refused(changed(machine, **keys))
    assert not SCHEMA.is_valid(changed(machine, **keys))
