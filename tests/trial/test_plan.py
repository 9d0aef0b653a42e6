"""``trial plan``: programs within all bounds, an order, a log to fill in, a sheet."""

from __future__ import annotations

import csv
import io
import tomllib
from collections import Counter
from decimal import Decimal

import pytest

from gen.base.files import read_toml
from gen.base.toml import as_toml
from runner import Command, Shop

TARGETS = ("--targets", "210,250,290")


def test_every_target_once_and_twice_in_every_block(command: Command, shop: Shop) -> None:
    found = command("trial", "plan", shop.recipe, *TARGETS, "--blocks", 3, "--out", shop.out, "--json")
    assert found.code == 0
    runs = found.document["runs"]
    for block in range(3):
        part = runs[6 * block : 6 * block + 6]
        assert Counter((run["target"], run["dresses"]) for run in part) == {
            (target, dresses): 1 for target in (210, 250, 290) for dresses in (1, 2)
        }
    assert [run["run"] for run in runs] == list(range(1, 19))
    assert {run["program"] for run in runs} == {
        str(shop.out / f"north-bench/flute-rough-t{target}.ngc") for target in (210, 250, 290)
    }


def test_the_same_seed_gives_the_same_order(command: Command, shop: Shop) -> None:
    def order(seed: int, out: str) -> list[tuple[int, int]]:
        words = ("trial", "plan", shop.recipe, *TARGETS, "--seed", seed, "--out", shop.root / out, "--json")
        return [(run["target"], run["dresses"]) for run in command(*words).document["runs"]]

    assert order(1, "a") == order(1, "b")
    assert order(1, "c") != order(2, "d")


def test_the_programs_hold_and_only_the_target_differs(command: Command, shop: Shop) -> None:
    document = command("trial", "plan", shop.recipe, *TARGETS, "--out", shop.out, "--json").document
    base = tomllib.loads(shop.recipe.read_text())
    numbers = {base["program"], base["program"] + 500}
    for rung in document["rungs"]:
        checked = command("check", rung["program"], "--machine", shop.machine, "--recipe", rung["recipe"])
        assert checked.code == 0, checked.out + checked.err
        tables = read_toml(shop.root / rung["recipe"])
        assert tables["dress"]["aggressiveness"] == rung["target"]
        # the same volume of stick a dress
        assert tables["dress"]["plunge"] == base["dress"]["plunge"]
        assert tables["dress"].get("plunges", 1) == base["dress"].get("plunges", 1)
        assert tables["stick"] == base["stick"]
        assert tables["program"] not in numbers
        numbers |= {tables["program"], tables["program"] + 500}


def test_the_log_is_ready_to_be_filled_in(command: Command, shop: Shop) -> None:
    document = command("trial", "plan", shop.recipe, *TARGETS, "--parts", 4, "--out", shop.out, "--json").document
    rows = list(csv.DictReader(io.StringIO((shop.out / "trial.csv").read_text())))
    assert list(rows[0]) == ["part", "power_kw", "dressed", "target", "wheel_mm"]
    assert [row["part"] for row in rows] == [str(part) for part in range(1, 4 * 13 + 1)]
    marked = [(row["target"], row["dressed"], row["part"]) for row in rows if row["dressed"] != "0"]
    assert marked == [(f"{run['target']:g}", str(run["dresses"]), str(run["parts"][0])) for run in document["runs"]]
    assert all(row["power_kw"] == row["wheel_mm"] == "" for row in rows)


def test_a_refused_target_is_named_with_why(command: Command, shop: Shop) -> None:
    found = command("trial", "plan", shop.recipe, "--targets", "180,220,260", "--out", shop.out, "--json")
    assert found.code == 1
    assert "180 is outside dress.band" in found.err
    assert [one["target"] for one in found.document["refused"]] == [180]
    assert {run["target"] for run in found.document["runs"]} == {220, 260}


def test_a_machine_limit_refuses_a_target(command: Command, shop: Shop) -> None:
    # 250 at 20 m/s wants 300 mm/min: F = 0.06 · 250 · 20
    shop.change(shop.machine, '"600 mm/min"', '"290 mm/min"')
    found = command("trial", "plan", shop.recipe, "--targets", "210,230,250", "--out", shop.out, "--json")
    assert found.code == 1
    assert [one["target"] for one in found.document["refused"]] == [250]
    assert "300 mm/min" in found.document["refused"][0]["why"][0]


def test_fewer_than_two_targets_write_nothing(command: Command, shop: Shop) -> None:
    found = command("trial", "plan", shop.recipe, "--targets", "180,220", "--out", shop.out)
    assert found.code == 1
    assert "at least two" in found.err
    assert not shop.out.exists()


def test_a_log_that_was_filled_in_is_kept(command: Command, shop: Shop) -> None:
    words = ("trial", "plan", shop.recipe, *TARGETS, "--out", shop.out)
    assert command(*words).code == 0
    assert command(*words).code == 0
    log = shop.out / "trial.csv"
    log.write_text(log.read_text().replace("1,,0", "1,1.5,0", 1))
    again = command(*words)
    assert again.code == 2
    assert "is kept" in again.err
    assert "1,1.5,0" in log.read_text()
    assert command(*words, "--force").code == 0


def test_the_sheet_has_order_programs_and_cautions(command: Command, shop: Shop) -> None:
    document = command("trial", "plan", shop.recipe, *TARGETS, "--out", shop.out, "--json").document
    sheet = (shop.out / "trial.html").read_text()
    for rung in document["rungs"]:
        assert str(rung["number"]) in sheet
    for words in ("twice in a row", "Prove out", "Stop", "stand out of the wheel", "qualified person"):
        assert words in sheet


def test_depths_are_rungs_too(command: Command, shop: Shop) -> None:
    words = ("trial", "plan", shop.recipe, "--targets", "250", "--depth", "4 mm", "--depth", "8 mm", "--out", shop.out)
    document = command(*words, "--json").document
    assert {(rung["target"], rung["depth_mm"]) for rung in document["rungs"]} == {(250, 4), (250, 8)}
    assert (shop.out / "trial.csv").read_text().splitlines()[0].endswith("depth_mm")


@pytest.mark.parametrize(
    ("recipe", "words", "said"),
    [
        ("pack-grinder/dress/drill-pack.toml", TARGETS, "several wheels"),
        ("north-bench/dress/flute-rough.toml", ("--targets", "250"), "at least two targets"),
        ("north-bench/dress/flute-rough.toml", ("--targets", "abc"), "a number is wanted"),
        ("north-bench/dress/flute-rough.toml", ("--targets", "220,260", "--blocks", "50", "--depth", "3 mm", "--depth",
         "4 mm", "--depth", "5 mm"), "more than 200 runs"),
    ],
)  # fmt: skip
def test_what_is_no_trial_is_said(command: Command, shop: Shop, recipe: str, words: tuple[str, ...], said: str) -> None:
    found = command("trial", "plan", shop.root / "machines" / recipe, *words, "--out", shop.out)
    assert found.code == 2
    assert said in found.err
    assert not shop.out.exists()


def test_a_control_without_registers_is_refused(command: Command, shop: Shop) -> None:
    shop.change(shop.machine, '"rs274ngc"', '"iso6983"')
    text = shop.machine.read_text()
    shop.machine.write_text(text[: text.index("[registers]")])
    shop.change(shop.recipe, "every_parts = 6\n", "")
    found = command("trial", "plan", shop.recipe, *TARGETS, "--out", shop.out)
    assert found.code == 2
    assert "right for one length of the stick only" in found.err


def test_tables_are_read_as_they_were_written(shop: Shop) -> None:
    # the judge is tomllib
    for path in sorted(shop.root.glob("machines/*/**/*.toml")):
        tables = read_toml(path)
        assert tomllib.loads(as_toml(tables), parse_float=Decimal) == tables
    odd = {"a b": 'q"\\\n\t', "x": {"y": [1, True, Decimal("0.5")], "z": [{"k": "v"}, {"k": {"deep": "\x7fü"}}]}}
    assert tomllib.loads(as_toml(odd), parse_float=Decimal) == odd


def test_a_recipe_that_numbers_its_own_gap_check_has_rungs_too(command: Command, shop: Shop) -> None:
    # the rungs cannot all have the one number that the recipe states
    shop.recipe.write_text(shop.recipe.read_text("utf-8").replace("\n\n", "\ngap_check_program = 7777\n\n", 1), "utf-8")
    assert command("trial", "plan", shop.recipe, *TARGETS, "--out", shop.out).code == 0
    rungs = shop.out / "north-bench/dress"
    checked = command("generate", rungs, "--gap-check", "--out", shop.out)
    assert checked.code == 0
    assert "program number" not in checked.err
