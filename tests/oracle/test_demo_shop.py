"""Every program of the demo shop that the judge can run: new and worn wheel, full and last stick."""

from __future__ import annotations

from pathlib import Path

import pytest
from bench import as_rs274, disagreements, hosted, ruling

from gen.base.files import read_toml
from gen.base.places import data_folder
from gen.control.draft import Program
from gen.control.options import Options
from strategies import Pair

RECIPES = sorted(data_folder("machines").glob("*/dress/*.toml"))


def pair_of(recipe: Path) -> Pair:
    tables = read_toml(recipe)
    return Pair(read_toml(recipe.parent / tables.get("machine", "../machine.toml")), tables)


def numeric(pair: Pair) -> list[Program]:
    """The pair's program at each corner of wear and stick, every number worked out."""
    dress = pair.dress()
    ends = [
        (tuple(one.size_range[end] for one in dress.wheels), length)
        for end in (1, 0)
        for length in reversed(dress.length_range)
    ]
    chosen = [
        Options(
            resolve=True,
            diameters=() if dress.first.face else sizes,
            gauge=sizes[0] if dress.first.face else None,
            length=length if dress.dresser.needs_length else None,
        )
        for sizes, length in ends
    ]
    return [pair.program(options) for options in chosen]


def label(recipe: Path) -> str:
    return f"{recipe.parent.parent.name}-{recipe.stem}"


def test_the_shop_has_recipes() -> None:
    assert len(RECIPES) >= 8


@pytest.mark.parametrize("recipe", RECIPES, ids=label)
def test_with_registers(recipe: Path) -> None:
    """Those written for registers run as they are; the other control with registers has no interpreter but this."""
    pair = pair_of(recipe).on("rs274ngc")
    if not pair.has_registers:
        pair = pair.with_registers()
    pair = pair.in_plain_words()
    program = pair.program()
    assert program.by_registers
    states = list(program.dress.corners())
    assert len(states) >= 2
    for state in states:
        assert disagreements(program, state, ruling(program, state)) == []


@pytest.mark.parametrize("recipe", RECIPES, ids=label)
def test_with_numbers(recipe: Path) -> None:
    for program in numeric(pair_of(recipe).on("rs274ngc").in_plain_words()):
        assert disagreements(program, program.state, ruling(program, program.state)) == []


@pytest.mark.parametrize("recipe", RECIPES, ids=label)
def test_in_plain_address_words(recipe: Path) -> None:
    for program in numeric(pair_of(recipe).on("iso6983").in_plain_words()):
        verdict = ruling(program, program.state, as_rs274(hosted(program)))
        assert disagreements(program, program.state, verdict) == []
