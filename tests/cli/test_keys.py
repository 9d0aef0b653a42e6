"""``keys``: every key of the files, as the models and the files themselves know it."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from gen.base.places import data_folder
from gen.base.quantities import Dimension, parse
from gen.jobs.keys import Key, all_keys, keys_named
from gen.jobs.schemas import DOCUMENTS, schema_of
from runner import Command

KEYS = all_keys()
# a unit's dimension, by which its text can be read again
DIMENSIONS: dict[str, Dimension] = {
    "mm": "length",
    "mm/min": "feed",
    "m/s": "peripheral",
    "rpm": "rotation",
    "s": "time",
    "deg": "angle",
    "mm/s2": "acceleration",
    "deg/min": "rotary_feed",
    "deg/s2": "rotary_acceleration",
    "mm3/min": "removal",
    "%": "share",
}


def written(table: dict[str, Any], above: str = "") -> Iterator[str]:
    """The dotted keys that a file holds, those of inner tables too."""
    for key, value in table.items():
        # a word such as G38.2 is one name
        name = ".".join(filter(None, (above, key.replace(".", "_"))))
        yield name
        for inner in value if isinstance(value, list) else [value]:
            if isinstance(inner, dict):
                yield from written(inner, name)


def files() -> Iterator[tuple[str, Path]]:
    machines = data_folder("machines")
    yield from (("machine", path) for path in sorted(machines.glob("*/machine.toml")))
    yield from (("recipe", path) for path in sorted(machines.glob("*/dress/*.toml")))
    yield from (("control", path) for path in sorted(data_folder("templates").glob("controls/*/control.toml")))


def of_names(file: str, name: str) -> bool:
    """Whether ``name`` stands in a table of names, such as axes or words, which are no keys of the format."""
    parts = name.split(".")
    above = {".".join(parts[:count]) for count in range(1, len(parts))}
    own = [key for key in KEYS if key.file == file]
    return any(key.name in above and not any(one.table.startswith(key.name) for one in own) for key in own)


@pytest.mark.parametrize(("file", "path"), [*files()], ids=lambda one: one if isinstance(one, str) else one.parent.name)
def test_every_key_of_the_files_that_ship_is_there(file: str, path: Path) -> None:
    """Counted from the files, which people wrote, and not from the models."""
    names = [name for name in written(tomllib.loads(path.read_text())) if not of_names(file, name)]
    assert len(names) > 8
    for name in names:
        assert [key for key in keys_named(name) if key.file == file], name


def test_each_has_a_meaning_and_says_what_it_may_hold() -> None:
    assert {key.file for key in KEYS} == set(DOCUMENTS)
    for key in KEYS:
        assert key.meaning.endswith((".", ":")), key.name
        assert len(key.meaning) > 5, key.name
        assert key.values, key.name
        assert not (key.required and key.default is not None), key.name


def test_none_of_the_models_is_left_out() -> None:
    for file in DOCUMENTS:
        document = schema_of(file)
        models = [document, *document["$defs"].values()]
        assert {key.key for key in KEYS if key.file == file} == {key for one in models for key in one["properties"]}


@pytest.mark.parametrize("key", [key for key in KEYS if key.unit], ids=lambda key: key.name)
def test_defaults_and_examples_are_in_a_dimension_of_the_unit(key: Key) -> None:
    values = [key.default, key.example]
    for value in values:
        for text in value if isinstance(value, list) else [value]:
            for inner in text.values() if isinstance(text, dict) else [text]:
                if inner is not None:
                    assert any(_reads(inner, unit) for unit in (key.unit or "").split(" or "))


def _reads(text: str, unit: str) -> bool:
    try:
        parse(text, DIMENSIONS[unit])
    except ValueError:
        return False
    return True


def test_a_key_is_found_by_either_name(command: Command) -> None:
    outcome = command("keys", "dresser.clearance")
    assert outcome.code == 0
    assert outcome.out == command("keys", "clearance").out
    for told in ("[dresser]", "mm, where rapid moves end", "more than 0 mm", "must be given", 'clearance = "4 mm"'):
        assert told in outcome.out
    (key,) = command("keys", "clearance", "--json").document["keys"]
    assert (key["file"], key["table"], key["unit"], key["default"]) == ("machine", "dresser", "mm", None)
    (wait,) = command("keys", "dresser.coolant_wait", "--json").document["keys"]
    assert (wait["unit"], wait["default"], wait["required"]) == ("s", "2 s", False)
    assert wait["values"] == "a time with its unit, at least 0 s and at most 600 s"


def test_a_key_that_kinds_of_dresser_have_otherwise_is_told_for_each(command: Command) -> None:
    parked = command("keys", "parked", "--json").document["keys"]
    assert [(key["only"], key["required"]) for key in parked] == [
        ("a dresser with a datum", True),
        ("an incremental dresser", False),
    ]
    (jaw,) = command("keys", "jaw", "--json").document["keys"]
    assert jaw["only"] is None


def test_a_table_stands_for_its_keys_and_a_star_for_an_axis(command: Command) -> None:
    (feed,) = command("keys", "axes.U.max_feed", "--json").document["keys"]
    assert feed["unit"] == "mm/min or deg/min"
    spindle = command("keys", "[spindle]", "--json").document["keys"]
    assert [key["name"] for key in spindle] == [
        "spindle",
        "spindle.speed",
        "spindle.direction",
        "spindle.spin_up",
    ]


def test_all_of_them_are_listed_below_their_tables(command: Command) -> None:
    out = command("keys").out
    assert {f"{key.file}  [{key.table}]" for key in KEYS if key.table} <= set(out.splitlines())
    assert "must be given" in out
    assert len(command("keys", "--json").document["keys"]) == len(KEYS)


def test_a_name_that_is_none_is_answered_with_the_nearest(command: Command) -> None:
    for asked, meant in (("clearence", "clearance"), ("dresser.jow", "dresser.jaw"), ("wheel.gritt", "wheel.grit")):
        outcome = command("keys", asked, "--json")
        assert outcome.code == 2
        assert f"Did you mean {meant}?" in outcome.document["errors"][0]["message"]
    assert "dressblock keys lists them all" in command("keys", "qqqqqqqq").err
