"""What the sheet says of one lane a dress, in both languages."""

from __future__ import annotations

from pathlib import Path

import pytest

from gen.control.draft import Program
from gen.paper.sheet import sheet
from lanes import bench


@pytest.fixture(scope="module")
def program(folder: Path) -> Program:
    return bench.program("rs274ngc", folder)


def said(program: Program, language: str = "en") -> str:
    return " ".join(sheet(program, language).text.split())


def test_the_register_its_range_and_who_enters_it(program: Program) -> None:
    assert "505 1 – 12 next lane: you, 1 with a new stick; then the program counts" in said(program)
    assert "505 1 – 12 nächste Spur: Sie, 1 bei neuem Stein; dann zählt das Programm" in said(program, "de")


def test_how_evenly_and_how_long(program: Program) -> None:
    text = said(program)
    # two plunges a dress: either side in 6 + 1 of 12 dresses, the middle in all of them
    assert "rim touched 14 to 24 times in 12 dresses" in text
    assert "Z 45.5 mm, Z 47.5 mm; one a dress, up and down again, 12 dresses in all" in text
    # 120 mm, 4 mm for all lanes together: 30 times six lanes
    assert "all lanes together take 4 mm; a stick lasts 180 dresses" in text
    assert "Rand 14- bis 24-mal in 12 Schärfvorgängen berührt" in said(program, "de")


def test_an_interrupted_dress_and_a_wrong_lane_say_what_to_do(program: Program) -> None:
    text = said(program)
    left = (
        "enter it in 502 and 1 in 505 (if the end of the stick has steps, leave both as they are), then enter 0 in 504"
    )
    assert left in text
    assert "enter that number and 1 more; if the cut ones are those toward Z 47.5 mm, that number and 7 more" in text
    assert "diese Zahl und 7 dazu" in said(program, "de")


def test_the_strip_counts_the_plunges_of_one_dress(program: Program) -> None:
    assert "Plunges × depth 2 × 2 mm" in said(program)
