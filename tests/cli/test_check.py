"""Programs held against machine and recipe after somebody touched them."""

from __future__ import annotations

from pathlib import Path

import pytest

from runner import Command, Shop


@pytest.fixture
def program(command: Command, shop: Shop) -> Path:
    assert command("generate", shop.recipe, "--out", shop.out).code == 0
    return shop.out / "north-bench/flute-rough.ngc"


def test_a_fresh_program_holds(command: Command, program: Path) -> None:
    assert command("check", program).code == 0


def test_machine_and_recipe_come_from_the_heading(command: Command, shop: Shop, program: Path) -> None:
    shop.change(shop.machine, '"400 mm/min"', '"240 mm/min"')
    outcome = command("check", program, "--json")
    assert outcome.code == 1
    found = {finding["rule"] for finding in outcome.document["findings"] if finding["certainty"] == "broken"}
    assert "plunge-feed" in found


def test_a_stick_that_became_too_short_for_a_dress_is_said(command: Command, shop: Shop, program: Path) -> None:
    shop.change(shop.recipe, 'length = "150 mm"', 'length = "35 mm"')
    outcome = command("check", program, "--json")
    assert outcome.code == 1
    said = {finding["rule"]: finding["message"] for finding in outcome.document["findings"]}
    assert said.keys() == {"drift", "stick-length"}
    # 8 mm a dress, and 30 mm must be left
    assert said["stick-length"].startswith("a new stick of 35 mm less 8 mm a dress leaves 27 mm; min_stick is 30 mm.")


def test_a_changed_body_is_reported(command: Command, program: Path) -> None:
    program.write_text(program.read_text().replace("G4 P3 ", "G4 P4 "))
    outcome = command("check", program, "--json")
    assert outcome.code == 1
    assert [finding["rule"] for finding in outcome.document["findings"]] == ["altered"]


def test_line_numbers_and_line_ends_do_not_count(command: Command, program: Path) -> None:
    lines = program.read_text().splitlines()
    marked = [f"N{10 * n} {line}" if line.startswith(("G", "M", "#")) else line for n, line in enumerate(lines, 1)]
    program.write_bytes("\r\n".join([*marked, ""]).encode())
    assert command("check", program).code == 0


def test_without_a_recipe_the_silenced_rules_are_counted(command: Command, shop: Shop, program: Path) -> None:
    bare = shop.root / "bare.ngc"
    bare.write_text("G21 G90 G94 G17\nG53 G0 U0\nG53 G1 U50 F300\nG53 G0 U0\nM2\n")
    outcome = command("check", bare, "--machine", shop.machine, "--json")
    unproven = [finding for finding in outcome.document["findings"] if finding["certainty"] == "unproven"]
    assert any("rules, " in finding["message"] for finding in unproven)


@pytest.mark.parametrize("text", ["", "G0 X1\n", "\x01\x02", "(MACHINE nowhere)\n(RECIPE nothing)\n"])
def test_a_program_that_names_no_machine_needs_one(command: Command, shop: Shop, text: str) -> None:
    path = shop.root / "odd.ngc"
    path.write_text(text)
    outcome = command("check", path)
    assert outcome.code == 2
    assert "--machine" in outcome.err


def test_a_missing_file_is_said(command: Command, shop: Shop) -> None:
    outcome = command("check", shop.root / "none.ngc")
    assert outcome.code == 2
    assert "no such file" in outcome.err
