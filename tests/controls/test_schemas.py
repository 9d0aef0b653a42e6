"""``dressblock schema``: JSON Schema 2020-12 that accepts what the shop wrote, and says what every key is."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any, get_args

import pytest
from jsonschema import Draft202012Validator

from gen.base.places import data_folder
from gen.control.folders import control_folder, control_names
from gen.control.model import Control
from gen.control.tables import Function, Operator
from gen.jobs.schemas import DOCUMENTS
from gen.reader.operators import ATAN_PAIR, EXISTS, FUNCTIONS, OPERATORS
from runner import invoke

from .mixed import NAME

SHOP = data_folder("machines")
FILES = {
    "machine": sorted(SHOP.glob("*/machine.toml")),
    "recipe": sorted(SHOP.glob("*/dress/*.toml")),
    "control": [control_folder(name) / "control.toml" for name in control_names()],
}


def printed(kind: str) -> dict[str, Any]:
    result = invoke("schema", kind)
    assert result.exit_code == 0
    document = json.loads(result.stdout)
    assert isinstance(document, dict)
    return document


@pytest.mark.parametrize("kind", DOCUMENTS)
def test_it_is_a_schema_of_that_draft(kind: str) -> None:
    document = printed(kind)
    assert document["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    Draft202012Validator.check_schema(document)


@pytest.mark.parametrize(("kind", "path"), [(kind, path) for kind, paths in FILES.items() for path in paths], ids=str)
def test_it_accepts_every_file_of_the_demo_shop(kind: str, path: Path) -> None:
    validator = Draft202012Validator(printed(kind))
    assert [error.message for error in validator.iter_errors(tomllib.loads(path.read_text()))] == []


def test_it_accepts_a_control_of_the_shops_own(folder: Path) -> None:
    tables = tomllib.loads((folder / NAME / "control.toml").read_text())
    assert Draft202012Validator(printed("control")).is_valid(tables)


@pytest.mark.parametrize(
    ("table", "key", "value"),
    [
        ("lexis", "coments", []),
        ("numbers", "point", "sometimes"),
        ("dwell", "word", "PP"),
        ("codes", "coolant_on", "8"),
        ("variables", "functions", {"SIN": "sine"}),
        ("flow", "jumps", {"target": "line"}),
    ],
)
def test_it_refuses_what_the_program_would_refuse(table: str, key: str, value: object, folder: Path) -> None:
    tables = tomllib.loads((folder / NAME / "control.toml").read_text())
    tables[table][key] = value
    assert not Draft202012Validator(printed("control")).is_valid(tables)
    with pytest.raises(ValueError, match=key):
        Control.model_validate(tables)


@pytest.mark.parametrize("kind", DOCUMENTS)
def test_every_key_is_described(kind: str) -> None:
    document = printed(kind)
    silent = [
        f"{name}.{key}"
        for name, table in [("", document), *document.get("$defs", {}).items()]
        for key, value in properties(table)
        if not value.get("description") and "$ref" not in value
    ]
    assert silent == []


def properties(table: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    yield from table.get("properties", {}).items()


def test_what_operators_and_functions_may_mean_is_what_the_reader_knows() -> None:
    assert set(get_args(Operator)) == OPERATORS
    assert set(get_args(Function)) == {*FUNCTIONS, ATAN_PAIR, EXISTS}
