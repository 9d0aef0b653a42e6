"""What a program is held against: its own machine and recipe, those that were named, or the machine alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from gen.control.seal import blocks, digest
from runner import Command, Shop


@pytest.fixture
def program(command: Command, shop: Shop) -> Path:
    assert command("generate", shop.recipe, "--out", shop.out, "--form", "program").code == 0
    return shop.out / "north-bench/flute-rough.ngc"


def test_another_machine_or_recipe_than_its_own_is_said_first(command: Command, shop: Shop, program: Path) -> None:
    other = shop.root / "machines/south-bench"
    for words, names in (
        (("--machine", other / "machine.toml"), ("machine north-bench", "machine south-bench")),
        (("--recipe", other / "dress/gash-cup.toml"), ("recipe flute-rough", "recipe gash-cup")),
        (("--recipe", shop.recipe.with_name("flute-finish.toml")), ("recipe flute-rough", "recipe flute-finish")),
    ):
        first = command("check", program, *words).out.splitlines()[0]
        assert "warning recipe" in first
        assert all(name in first for name in names)


def test_the_machine_alone_is_enough_for_its_rules(command: Command, shop: Shop) -> None:
    command("generate", shop.recipe, "--out", shop.out, "--resolve")
    path = shop.out / "north-bench/flute-rough.ngc"
    shop.change(path, "G53 G0 U0\n", "G53 G0 U-900\n")
    shop.change(path, "M3 S3056", "M3 S99000")
    shop.recipe.unlink()
    outcome = command("check", path, "--machines", shop.root / "machines", "--json")
    found = outcome.document["findings"]
    broken = {one["rule"] for one in found if one["certainty"] == "broken"}
    assert outcome.code == 1
    assert broken == {"axis-travel", "spindle-range"}
    (silenced,) = (one["message"] for one in found if one["certainty"] == "unproven")
    assert all(said in silenced for said in ("flute-rough", "rules"))
    assert not any(rule in silenced for rule in broken)


def test_a_register_block_without_its_recipe_is_not_said_to_keep_what_nobody_saw(
    command: Command, shop: Shop, program: Path
) -> None:
    shop.recipe.unlink()
    outcome = command("check", program, "--machines", shop.root / "machines", "--json")
    (silenced,) = (one["message"] for one in outcome.document["findings"])
    assert "rules" in silenced
    # a program that nobody holds against its recipe is nothing that CI may let pass
    assert outcome.code == 1


def test_a_heading_that_leads_nowhere_says_where_was_looked(command: Command, shop: Shop, program: Path) -> None:
    for wrong in (shop.root / "nowhere", shop.out):
        outcome = command("check", program, "--machines", wrong)
        assert outcome.code == 2
        assert all(said in outcome.err for said in ("names machine north-bench", str(wrong)))


def test_in_a_folder_programs_without_a_dress_are_left_alone(command: Command, shop: Shop, program: Path) -> None:
    plain = [program.with_name(f"plain-{number}.ngc") for number in range(2)]
    for path in plain:
        path.write_text("G21 G90 G94 G17\nG0 X1\nM2\n")
    outcome = command("check", shop.out, "--machines", shop.root / "machines")
    assert outcome.code == 0
    assert "plain" not in outcome.out
    assert outcome.err.count("left alone: there is no dress block") == len(outcome.err.splitlines()) == 2
    assert command("check", shop.out, plain[0]).code == 2
    assert command("check", *plain, "--skip-plain").code == 0
    program.unlink()
    assert command("check", shop.out).code == 2


def test_a_whole_program_does_not_pass_for_a_block(command: Command, program: Path) -> None:
    """Sealed anew as a block, with a move behind its end mark that only a whole program may not have."""
    lines = program.read_text().replace("(FORM PROGRAM)", "(FORM BLOCK)").splitlines()
    block = next(blocks(lines))
    sealed = digest(lines[block.first : block.last - 1])
    lines[block.first - 1] = lines[block.first - 1].replace(block.stated, sealed)
    program.write_text("\n".join([*lines[: block.last], "G0 X5", "M2", ""]))
    found = command("check", program, "--json").document["findings"]
    end = next(number for number, line in enumerate(lines, 1) if line == "M30")
    assert ("one-piece", end) in {(one["rule"], one["line"]) for one in found}
