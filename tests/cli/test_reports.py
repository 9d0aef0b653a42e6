"""``check --format`` and folders: what goes to standard output and standard error, and which programs are meant."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from junitparser import JUnitXml

from runner import Command, Shop


@pytest.fixture
def programs(command: Command, shop: Shop, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(shop.root)
    recipes = sorted(shop.recipe.parent.glob("flute-*.toml"))
    assert command("generate", *recipes, "--out", "programs").code == 0
    return Path("programs/north-bench")


def test_a_folder_stands_for_the_programs_below_it(command: Command, programs: Path) -> None:
    outcome = command("check", "programs")
    told = [line.partition(":")[0] for line in outcome.out.splitlines()]
    # the sheets that lie beside them are no programs
    assert told == [str(programs / name) for name in ("flute-finish.ngc", "flute-rough.ngc")]
    assert outcome.code == 0


def test_a_program_named_twice_is_checked_once(command: Command, programs: Path) -> None:
    assert command("check", programs / "flute-rough.ngc", "programs").out.count("flute-rough.ngc") == 1


def test_a_folder_without_programs_is_said(command: Command, programs: Path) -> None:
    outcome = command("check", "machines/north-bench/dress")
    assert outcome.code == 2
    assert ".ngc" in outcome.err


def test_the_same_findings_in_every_form(command: Command, programs: Path) -> None:
    program = programs / "flute-rough.ngc"
    program.write_text(program.read_text().replace("G4 P3 ", "G4 P2 "))
    text = command("check", "programs")
    sarif = command("check", "programs", "--format", "sarif")
    junit = command("check", "programs", "--format", "junit")
    assert text.code == sarif.code == junit.code == 1
    found = [line for line in text.out.splitlines() if ": error " in line]
    assert found
    assert all(line in sarif.err for line in found)
    (suite,) = JUnitXml.fromstring(junit.out.encode())
    assert [line for case in suite for result in case.result for line in result.text.splitlines()] == found
    places = [
        f"{where['artifactLocation']['uri']}:{where['region']['startLine']}"
        for result in json.loads(sarif.out)["runs"][0]["results"]
        for where in [result["locations"][0]["physicalLocation"]]
    ]
    assert places == [line.partition(": ")[0] for line in found]


def test_what_cannot_be_read_is_an_error_of_its_case(command: Command, programs: Path) -> None:
    (programs / "odd.nc").write_text("(MACHINE nowhere)\n(RECIPE none)\nG0 X1\n")
    outcome = command("check", "programs", "--format", "junit")
    assert outcome.code == 2
    (suite,) = JUnitXml.fromstring(outcome.out.encode())
    assert (suite.tests, suite.failures, suite.errors) == (3, 0, 1)


def test_the_same_programs_give_the_same_document(command: Command, programs: Path) -> None:
    assert command("check", "programs", "--format", "sarif").out == command("check", programs, "--format", "sarif").out
