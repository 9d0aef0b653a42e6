"""Prove-outs changed by hand and sealed anew: what they then show is not the dress, and ``check`` says so."""

from __future__ import annotations

from pathlib import Path

import pytest

from gen.base.places import data_folder
from gen.control.draft import draft
from gen.control.options import Options
from gen.control.seal import blocks
from gen.jobs.check import check_program
from gen.jobs.provenance import Named
from gen.shop.edition import Purpose
from gen.shop.load import load_machine, load_recipe

INCLINED, STEPS, AIR = ("leaning-slide", "clearance-wheel"), ("shuttle", "notch-wheel"), ("air-feeder", "relief-wheel")


def text_of(which: tuple[str, str], *, purpose: Purpose = "prove-out") -> str:
    folder = data_folder("machines") / which[0]
    tables = load_recipe(folder / "dress" / f"{which[1]}.toml"), load_machine(folder / "machine.toml")
    return draft(*tables, which, Options(purpose=purpose)).text


def broken(path: Path, text: str) -> set[str]:
    (block,) = blocks(text.splitlines())
    path.write_text(text.replace(block.stated, block.computed))
    return {one.rule for one in check_program(path, Named(root=data_folder("machines"))) if one.severity == "error"}


@pytest.mark.parametrize("which", [INCLINED, STEPS, AIR], ids=lambda which: which[0])
def test_nothing_is_held_against_what_was_generated(which: tuple[str, str], tmp_path: Path) -> None:
    assert broken(tmp_path / "program.nc", text_of(which)) == set()


CHANGES = {
    # Z 92.385 is the first station of a new wheel: 96 mm less half of what a stick of 12 / cos 20 mm leaves of 20 mm
    "beside the wheel": (INCLINED, "[[92.3850666", "[[12.3850666", "approach-path"),
    "does not follow the wheel": (INCLINED, "[[125-#590]/5.49495484]", "[0]", "approach-path"),
    "wheel turns the other way": (INCLINED, "M3 S#592", "M4 S#592", "prove-out"),
    # 2 mm nearer to the wheel than it stood: the next dress would plunge 5 mm in place of 3
    "slide left nearer": (STEPS, "G1 U7.5 F282.7", "G1 U9.5 F282.7", "prove-out"),
    "slide left further": (STEPS, "G1 U7.5 F282.7", "G1 U6.5 F282.7", "prove-out"),
}


@pytest.mark.parametrize(("which", "old", "new", "rule"), CHANGES.values(), ids=CHANGES)
def test_a_prove_out_that_shows_something_else(
    which: tuple[str, str], old: str, new: str, rule: str, tmp_path: Path
) -> None:
    text = text_of(which)
    assert old in text
    assert broken(tmp_path / "program.nc", text.replace(old, new)) == {rule}


def test_a_dress_under_the_marks_of_a_prove_out(tmp_path: Path) -> None:
    text = text_of(INCLINED, purpose="dress").replace("BEGIN DRESS", "BEGIN PROVE-OUT")
    assert "prove-out" in broken(tmp_path / "program.nc", text.replace("END DRESS", "END PROVE-OUT"))


def test_a_prove_out_under_the_marks_of_a_dress(tmp_path: Path) -> None:
    text = text_of(INCLINED).replace("BEGIN PROVE-OUT", "BEGIN DRESS").replace("END PROVE-OUT", "END DRESS")
    assert broken(tmp_path / "program.nc", text) == {"prove-out"}


def test_a_dress_whose_heading_calls_it_a_prove_out(tmp_path: Path) -> None:
    text = text_of(INCLINED, purpose="dress")
    text = text.replace("(MACHINE ", "(PROVE-OUT ONLY, STICK HELD OFF, DOES NOT DRESS)\n(MACHINE ", 1)
    assert "prove-out" in broken(tmp_path / "program.nc", text)
