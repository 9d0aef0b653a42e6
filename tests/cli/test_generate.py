"""The main job from the command line: written, or refused with what would help."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import pytest

from gen.base.files import read_toml
from gen.base.finding import Change
from gen.base.places import data_folder
from gen.base.toml import as_toml
from gen.jobs.advice import revised
from gen.shop.family import editions, number_of
from gen.shop.load import load_recipe
from runner import Command, Shop


def test_demo_writes_a_program_and_a_sheet_for_every_recipe(command: Command, tmp_path: Path, shop: Shop) -> None:
    outcome = command("demo", "--out", tmp_path / "demo")
    assert outcome.code == 0
    recipes = list((shop.root / "machines").glob("*/dress/*.toml"))
    assert len(recipes) >= 8
    for recipe in recipes:
        folder = tmp_path / "demo" / recipe.parent.parent.name
        assert {path.suffix for path in folder.glob(f"{recipe.stem}.*")} > {".html", ".txt"}
        assert len(list(folder.glob(f"{recipe.stem}-prove-out.*"))) == 1
        assert f"{recipe.stem}." in outcome.out
    assert (tmp_path / "demo/south-bench/gash-cup-after-truing.nc").is_file()
    checked = command("check", tmp_path / "demo")
    assert checked.code == 0, checked.out


def test_generate_names_what_it_wrote(command: Command, shop: Shop) -> None:
    outcome = command("generate", shop.recipe, "--out", shop.out, "--json")
    assert outcome.code == 0
    (program,) = outcome.document["programs"]
    assert Path(program["program"]).read_text().startswith("%")
    assert "<html" in Path(program["sheet"]).read_text()
    assert Path(program["machine"]).samefile(shop.machine)
    assert program["findings"] == []


def test_the_same_inputs_give_the_same_bytes(command: Command, shop: Shop) -> None:
    command("generate", shop.recipe, "--out", shop.out)
    before = {path: path.read_bytes() for path in shop.written()}
    command("generate", shop.recipe, "--out", shop.out)
    assert before == {path: path.read_bytes() for path in shop.written()}


TOO_MUCH = [
    pytest.param(
        "machine",
        '"400 mm/min"',
        '"240 mm/min"',
        "plunge-feed",
        ("300 mm/min", "240 mm/min", "16 m/s"),
        id="slide too slow",
    ),
    pytest.param("recipe", '"63 m/s"', '"15 m/s"', "wheel-speed", ("3056 rpm", "2291 rpm"), id="above the marking"),
    pytest.param("machine", '"190 mm"', '"150 mm"', "axis-travel", ("180 mm", "150 mm"), id="past the travel"),
    pytest.param("recipe", '"150 mm"', '"35 mm"', "stick-length", ("27 mm", "30 mm"), id="stick too short"),
    pytest.param("recipe", 'plunge = "8 mm"', 'plunge = "20 mm"', "plunge-depth", ("20 mm", "12 mm"), id="too deep"),
    pytest.param("machine", 'clearance = "4 mm"', 'clearance = "2 mm"', "rapid-clearance", ("2 mm",), id="too near"),
    pytest.param(
        "machine", '"6000 rpm"', '"2500 rpm"', "spindle-range", ("3056 rpm", "2500 rpm"), id="spindle too slow"
    ),
]


@pytest.mark.parametrize(("file", "old", "new", "rule", "numbers"), TOO_MUCH)
def test_too_much_is_refused_and_what_would_help_helps(
    command: Command, shop: Shop, file: str, old: str, new: str, rule: str, numbers: tuple[str, ...]
) -> None:
    shop.change(shop.machine if file == "machine" else shop.recipe, old, new)
    outcome = command("generate", shop.recipe, "--out", shop.out, "--json")
    assert outcome.code == 1
    assert shop.written() == []
    (program,) = outcome.document["programs"]
    assert program["program"] is None
    said = [finding for finding in program["findings"] if finding["rule"] == rule]
    assert said, [finding["rule"] for finding in program["findings"]]
    assert any(all(number in finding["message"] for number in numbers) for finding in said), said
    changes = [finding["change"] for finding in program["findings"] if finding["severity"] == "error"]
    assert all(changes), "every error says what would help"
    for change in changes:
        apply(shop, change)
    again = command("generate", shop.recipe, "--out", shop.out)
    assert again.code == 0, again.err


def apply(shop: Shop, change: dict[str, object]) -> None:
    """Writes the changed tables back as TOML."""
    path = shop.recipe if change["file"] == "recipe" else shop.machine
    file: Literal["recipe", "machine"] = "recipe" if change["file"] == "recipe" else "machine"
    tables = revised(read_toml(path), Change(file, str(change["key"]), change["value"], ""))
    path.write_text(as_toml(tables))


def test_one_bad_recipe_does_not_stop_the_others(command: Command, shop: Shop) -> None:
    other = shop.recipe.with_name("outside-wide.toml")
    shop.change(shop.recipe, 'plunge = "8 mm"', "plunge = 8")
    outcome = command("generate", shop.recipe, other, "--out", shop.out, "--json")
    assert outcome.code == 2
    assert "bare number" in outcome.err
    assert [bool(program["program"]) for program in outcome.document["programs"]] == [False, True]


def test_two_programs_of_one_machine_with_one_number_are_told(command: Command, shop: Shop) -> None:
    other = shop.recipe.with_name("outside-wide.toml")
    shop.change(other, "program = 7103", "program = 7101")
    outcome = command("generate", shop.recipe, other, "--out", shop.out)
    assert outcome.code == 0
    assert "program number 7101 of its dress is also that of the dress of" in outcome.err


def test_a_prove_out_with_the_number_of_a_dress_is_told(command: Command, shop: Shop) -> None:
    other = shop.recipe.with_name("outside-wide.toml")
    shop.change(other, "program = 7103", "program = 7601")
    outcome = command("generate", shop.recipe, other, "--out", shop.out)
    assert "program number 7601 of its dress is also that of the prove-out of the dress of" in outcome.err


def test_no_two_programs_of_the_demo_shop_have_one_number() -> None:
    taken: dict[int, str] = {}
    for path in sorted(data_folder("machines").glob("*/dress/*.toml")):
        recipe = load_recipe(path)
        for edition in editions(recipe):
            number, name = number_of(edition, recipe), f"{path}{edition.suffix}"
            assert taken.setdefault(number, name) == name
    assert len(taken) > 3 * 15


def test_the_worst_exit_wins(command: Command, shop: Shop) -> None:
    shop.change(shop.recipe, 'plunge = "8 mm"', 'plunge = "20 mm"')
    assert command("generate", shop.recipe, shop.recipe.with_name("missing.toml"), "--out", shop.out).code == 2
    assert command("generate", shop.recipe, shop.recipe.with_name("flute-finish.toml"), "--out", shop.out).code == 1


def test_a_program_changed_by_hand_is_kept(command: Command, shop: Shop) -> None:
    command("generate", shop.recipe, "--out", shop.out)
    program = shop.out / "north-bench/flute-rough.ngc"
    by_hand = program.read_text().replace("U43.5", "U40.5")
    program.write_text(by_hand)
    refused = command("generate", shop.recipe, "--out", shop.out)
    assert refused.code == 1
    assert "changed by hand" in refused.err
    assert program.read_text() == by_hand
    assert command("generate", shop.recipe, "--out", shop.out, "--force").code == 0
    assert "U43.5" in program.read_text()


def test_somebody_elses_file_is_kept(command: Command, shop: Shop) -> None:
    program = shop.out / "north-bench/flute-rough.ngc"
    program.parent.mkdir(parents=True)
    program.write_text("G0 X1\n")
    assert command("generate", shop.recipe, "--out", shop.out).code == 1
    assert program.read_text() == "G0 X1\n"


def test_check_compares_and_writes_nothing(command: Command, shop: Shop) -> None:
    missing = command("generate", "--check", shop.recipe, "--out", shop.out)
    assert missing.code == 1
    assert shop.written() == []
    command("generate", shop.recipe, "--out", shop.out)
    assert command("generate", "--check", shop.recipe, "--out", shop.out).code == 0
    shop.change(shop.recipe, "aggressiveness = 250", "aggressiveness = 240")
    assert command("generate", "--check", shop.recipe, "--out", shop.out).code == 1


def test_resolved_for_one_wheel_and_stick(command: Command, shop: Shop) -> None:
    options = ("--resolve", "--wheel-diameter", "110 mm", "--stick-length", "90 mm")
    command("generate", shop.recipe, "--out", shop.out, *options)
    text = (shop.out / "north-bench/flute-rough.ngc").read_text()
    # by hand: contact 260 - 90 - 55 = 115 mm, so 8 mm end at 123 mm; 20 m/s on 110 mm are 3472.5 rpm, rounded 3472
    assert "S3472" in text
    assert "U123 F" in text
    assert "#" not in text


def test_the_wrong_size_option_is_refused(command: Command, shop: Shop) -> None:
    outcome = command("generate", shop.recipe, "--out", shop.out, "--wheel-gauge", "40 mm")
    assert outcome.code == 2
    assert "--wheel-diameter" in outcome.err


@pytest.mark.parametrize("form", ["block", "subprogram", "program"])
def test_every_form_is_written_and_checks(command: Command, shop: Shop, form: str) -> None:
    recipes = sorted((shop.root / "machines").glob("*/dress/*.toml"))
    outcome = command("generate", *recipes, "--out", shop.out, "--form", form, "--json")
    # the only dresser of the shop whose numbers hold for one wheel and one stick: nothing there can be called again
    refused = {path for path in recipes if form == "subprogram" and "inch-table" in path.parts}
    written = {Path(one["recipe"]): one["program"] for one in outcome.document["programs"]}
    assert {recipe for recipe, program in written.items() if program is None} == refused, outcome.err
    assert outcome.code == (1 if refused else 0)
    checked = command("check", *(program for program in written.values() if program is not None))
    assert checked.code == 0, checked.out


def test_a_missing_machine_file_says_why_it_was_looked_for(command: Command, shop: Shop) -> None:
    shop.machine.unlink()
    outcome = command("generate", shop.recipe, "--out", shop.out)
    assert outcome.code == 2
    assert all(said in outcome.err for said in (str(shop.machine), "no key machine", "../machine.toml"))
    shop.recipe.write_text('machine = "../none.toml"\n' + shop.recipe.read_text())
    assert 'key machine names it, as "../none.toml"' in command("generate", shop.recipe, "--out", shop.out).err


def test_a_switch_that_would_move_an_axis_is_said_of_the_machine_file(command: Command, shop: Shop) -> None:
    with shop.machine.open("a") as file:
        file.write('\n[codes]\ncoolant_on = "G0 U190"\n')
    outcome = command("generate", shop.recipe, "--out", shop.out)
    assert outcome.code == 2
    assert outcome.err.startswith(f'{shop.machine}: codes.coolant_on: read "G0 U190"')
