"""``trial read``: the answer of whole logs, of logs with something missing, and of those that cannot tell."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from runner import Command, Outcome, Shop

from .demo_log import LOG, demo_shop, made
from .shops import Diary, blocks
from .shops import shop as drawn

KEYS = {"clean_kw", "clean_interval_kw", "rise_kw_per_part", "rungs", "best", "verdict", "next"}
RUNG_KEYS = {"target", "cleared", "cleared_interval", "parts_between_dresses", "wheel_mm_per_dress", "cost_per_part"}


@pytest.fixture
def log(shop: Shop) -> Path:
    """A copy of the demo shop's trial."""
    return shop.root / "machines" / LOG


def read(command: Command, shop: Shop, log: Path, *words: object) -> Outcome:
    return command("trial", "read", log, "--limit", "2 kW", "--recipe", shop.recipe, *words)


def changed(log: Path, old: str, new: str) -> Path:
    """A copy of ``log`` with one row changed; ``old`` is the row's beginning as a regular expression."""
    text, count = re.subn(old, new, log.read_text(), count=1, flags=re.MULTILINE)
    assert count == 1
    path = log.with_name("changed.csv")
    path.write_text(text)
    return path


def test_the_demo_log_is_what_its_shop_writes(log: Path) -> None:
    assert log.read_text() == made()


def test_the_demo_trial_chooses_what_costs_least(command: Command, shop: Shop, log: Path) -> None:
    found = read(command, shop, log, "--json").document
    assert set(found) >= KEYS
    assert all(set(rung) >= RUNG_KEYS for rung in found["rungs"])
    assert found["verdict"] == "chosen"
    assert found["next"] == []
    costs = {rung["target"]: rung["cost_per_part"] for rung in found["rungs"]}
    assert found["best"] == min(costs, key=lambda target: costs[target])
    truth = demo_shop()
    low, high = found["clean_interval_kw"]
    assert low <= truth.clean <= high
    assert found["rise_kw_per_part"] == pytest.approx(truth.rise, rel=0.05)
    for rung in found["rungs"]:
        low, high = rung["cleared_interval"]
        assert low <= truth.cleared(rung["target"]) <= high
        low, high = rung["wheel_interval_mm_per_dress"]
        assert low <= 2 * truth.loss(rung["target"]) <= high
        assert abs(rung["parts_between_dresses"] - truth.parts_between(rung["target"])) <= 1


def test_the_text_page_and_chart_say_the_same(command: Command, shop: Shop, log: Path) -> None:
    page, picture = shop.root / "wall.html", shop.root / "trial.svg"
    found = read(command, shop, log, "--html", page, "--chart", picture)
    document = read(command, shop, log, "--json").document
    best, every = document["recipe"]["aggressiveness"], document["recipe"]["every_parts"]
    assert found.out.startswith(f"Dress at {best:g}, every {every} parts.")
    assert f"aggressiveness = {best:g}\n" in found.out
    assert f"every_parts = {every}\n" in found.out
    assert f"Dress at {best:g}, every {every} parts." in page.read_text()
    assert picture.read_text().startswith("<svg")
    assert "<desc" in picture.read_text()
    german = read(command, shop, log, "--language", "de")
    assert german.out.startswith(f"Mit {best:g} schärfen, alle {every} Teile.")


def test_what_is_proposed_is_accepted(command: Command, shop: Shop, log: Path) -> None:
    proposed = read(command, shop, log, "--json").document["recipe"]
    low, high = proposed["band"]
    shop.change(shop.recipe, "aggressiveness = 250", f"aggressiveness = {proposed['aggressiveness']:g}")
    shop.change(shop.recipe, "band = [200, 300]", f"band = [{low:g}, {high:g}]")
    shop.change(shop.recipe, "every_parts = 6", f"every_parts = {proposed['every_parts']}")
    assert command("generate", shop.recipe, "--out", shop.out).code == 0


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (r"^40,[\d.]+,", "40,,", "part 40 has no power; it counts as ground"),
        (r"^40,[\d.]+,", "40,scrap,", "part 40 has no power (scrap)"),
        (r"^40,.*\n", "", "part 40 not in the log"),
        (r"^(40,)(\d)\.(\d)(\d*),", r"\g<1>\2\3.\4,", "part 40"),
        (r"^(43,[\d.]+,[12]),[\d.]+,", r"\1,,", "the dress before part 43 has no target"),
        (r"^(44,[\d.]+),0,[\d.]+,", r"\1,0,200,", "target 200 stands where nothing was dressed"),
    ],
)
def test_a_log_with_something_missing_is_read_and_says_so(
    command: Command, shop: Shop, log: Path, old: str, new: str, said: str
) -> None:
    whole = read(command, shop, log, "--json").document
    found = read(command, shop, changed(log, old, new), "--json")
    assert found.code == 0
    (note,) = [note for note in found.document["notes"] if said in note]
    (line,) = re.findall(r"[Ll]ine (\d+)", note)
    assert 41 <= int(line) <= 45
    for one, other in zip(whole["rungs"], found.document["rungs"], strict=True):
        assert other["cleared"] == pytest.approx(one["cleared"], abs=0.05)


def test_a_stopped_trial_is_read_as_far_as_it_went(command: Command, shop: Shop, log: Path) -> None:
    rows = log.read_text().splitlines(keepends=True)
    left = [re.sub(r"^(\d+),[\d.]+,(\d),([\d.]*),.*", r"\1,,\2,\3,", row) for row in rows[112:]]
    path = log.with_name("stopped.csv")
    path.write_text("".join(rows[:112] + left))
    found = read(command, shop, path, "--json").document
    assert any("the log ends at part 111" in note for note in found["notes"])
    assert found["verdict"] in ("chosen", "go-on")
    assert len(found["rungs"]) == 4


def test_a_trial_that_has_hardly_begun_goes_on(command: Command, shop: Shop, log: Path) -> None:
    path = log.with_name("begun.csv")
    path.write_text("".join(log.read_text().splitlines(keepends=True)[:31]))
    found = read(command, shop, path, "--json").document
    assert found["verdict"] == "go-on"
    assert found["best"] is None
    assert sorted({run["dresses"] for run in found["next"]}) == [1, 2]
    assert found["next"][0]["run"] == 5


def test_a_wheel_trued_in_the_middle_is_read_and_said(command: Command, shop: Shop, log: Path) -> None:
    # truing takes 0.2 mm off the radius and the diameters begin anew; the row says trued
    lines = log.read_text().splitlines()
    text = [lines[0] + ",trued"]
    for row in lines[1:]:
        part, power, dressed, target, wheel = row.split(",")
        wheel = f"{float(wheel) - 0.4:.4f}" if wheel and int(part) >= 79 else wheel
        text.append(",".join([part, power, dressed, target, wheel, "1" if part == "79" else "0"]))
    path = log.with_name("trued.csv")
    path.write_text("\n".join(text) + "\n")
    whole, found = read(command, shop, log, "--json").document, read(command, shop, path, "--json").document
    assert any("Line 80: the wheel was trued before part 79" in note for note in found["notes"])
    for one, other in zip(whole["rungs"], found["rungs"], strict=True):
        assert other["cleared"] == pytest.approx(one["cleared"], abs=0.06)
        assert other["wheel_mm_per_dress"] == pytest.approx(one["wheel_mm_per_dress"], abs=0.002)


def test_a_step_is_found_at_its_line_and_taken_out(command: Command, shop: Shop, log: Path) -> None:
    lines = log.read_text().splitlines()
    text = [lines[0]]
    for row in lines[1:]:
        part, power, *rest = row.split(",")
        text.append(",".join([part, f"{float(power) + (0.25 if int(part) >= 85 else 0):.3f}", *rest]))
    path = log.with_name("step.csv")
    path.write_text("\n".join(text) + "\n")
    whole, found = read(command, shop, log, "--json").document, read(command, shop, path, "--json").document
    assert whole["level_change"] is None
    assert found["level_change"]["kind"] == "step"
    assert found["level_change"]["line"] == 86
    assert found["level_change"]["kw"] == pytest.approx(0.25, abs=0.04)
    for one, other in zip(whole["rungs"], found["rungs"], strict=True):
        assert other["cleared"] == pytest.approx(one["cleared"], abs=0.05)


def test_without_diameters_nothing_is_chosen(command: Command, shop: Shop, log: Path) -> None:
    path = log.with_name("power-only.csv")
    path.write_text(re.sub(r",\d+\.\d+$", ",", log.read_text(), flags=re.MULTILINE))
    found = read(command, shop, path, "--json").document
    assert found["verdict"] == "cannot-tell"
    assert found["best"] is None
    assert [rung["wheel_mm_per_dress"] for rung in found["rungs"]] == [None] * 4
    assert [rung["cost_per_part"] for rung in found["rungs"]] == [None] * 4
    assert "diameter was not measured" in found["why"]
    assert any("Measure the wheel" in one for one in found["helps"])


def test_without_prices_the_two_ends_are_told(command: Command, shop: Shop, log: Path) -> None:
    found = command("trial", "read", log, "--limit", "2 kW", "--json").document
    assert found["verdict"] == "cannot-tell"
    assert "No prices are given" in found["why"]
    assert all(rung["cleared"] is not None and rung["cost_per_part"] is None for rung in found["rungs"])


def test_a_missing_price_is_named(command: Command, shop: Shop, log: Path) -> None:
    shop.machine.write_text(re.sub(r"^wheel_mm = .*\n", "", shop.machine.read_text(), flags=re.MULTILINE))
    found = read(command, shop, log, "--json").document
    assert any("lacks wheel_mm" in note for note in found["notes"])
    assert found["verdict"] == "cannot-tell"


def test_a_limit_below_the_clean_power_is_no_limit(command: Command, shop: Shop, log: Path) -> None:
    found = command("trial", "read", log, "--limit", "1 kW", "--recipe", shop.recipe, "--json").document
    assert found["verdict"] == "cannot-tell"
    assert "already draws" in found["why"]


def test_a_trial_of_depths_tells_how_deep(command: Command, shop: Shop) -> None:
    # a dress of depth t clears 1 − e^(−t/t₀) with t₀ = 6 mm in this shop's own model
    import math

    lines, loading, part = ["part,power_kw,dressed,target,wheel_mm,depth_mm"], 0.6, 0
    diameter = 120.0
    for run in range(25):
        depth, dresses = (4, 8, 12)[run % 3], 1 + run % 2
        if run:
            loading *= math.exp(-depth * dresses / 6)
            diameter -= 0.0008 * depth * dresses
        for at in range(6):
            part += 1
            wobble = 0.004 * ((7 * part) % 5 - 2)
            first = at == 0 and run
            lines.append(
                f"{part},{1.1 + loading + wobble:.4f},{dresses if first else 0},"
                f"{(220, 280)[run // 2 % 2] if run else ''},{f'{diameter:.4f}' if first else ''},{depth if run else ''}"
            )
            loading += 0.08
        diameter -= 0.001
    path = shop.root / "depths.csv"
    path.write_text("\n".join(lines) + "\n")
    found = read(command, shop, path, "--json").document
    for rung in found["rungs"]:
        assert rung["characteristic_depth_mm"] == pytest.approx(6, rel=0.05)
        assert 1 < rung["best_depth_mm"] < 30


@pytest.mark.parametrize(
    ("loading", "said"),
    [
        ("root", "rises more slowly the longer a run gets"),
        ("saturating", "rises more slowly the longer a run gets"),
        ("upward", "rises faster the longer a run gets"),
    ],
)
def test_loading_that_bends_is_told(command: Command, shop: Shop, loading: str, said: str) -> None:
    # little noise, so that the bend is certain; the model is a straight line, and the answer says what that means
    one = drawn(3, loading=loading, noise=0.004, uneven=0.01, rise=0.08)
    diary = Diary(one)
    diary.follow(list(blocks(one, 3)))
    path = shop.root / "other.csv"
    path.write_text(diary.text)
    found = read(command, shop, path, "--json").document
    assert any(said in note for note in found["notes"])
    cleared = [rung["cleared"] for rung in found["rungs"]]
    assert cleared == sorted(cleared)
    if loading == "upward" and found["recipe"]:
        assert found["recipe"]["every_parts"] <= one.usual


def resized(log: Path, size: Callable[[int, float], str]) -> Path:
    """A copy of ``log`` with other wheel sizes, by how many came before and the one written."""
    text = [row.rsplit(",", 1) for row in log.read_text().splitlines()]
    sizes = iter(range(len(text)))
    rows = [f"{row},{size(next(sizes), float(mm)) if mm and at else mm}" for at, (row, mm) in enumerate(text)]
    path = log.with_name("resized.csv")
    path.write_text("\n".join(rows) + "\n")
    return path


@pytest.mark.parametrize(
    "size",
    [
        lambda at, mm: "123.4",
        # the gauge reads in reverse, or was set anew each time
        lambda at, mm: f"{123 + 0.02 * at:.3f}",
        lambda at, mm: f"{247 - mm:.4f}",
    ],
    ids=["one and the same", "growing", "reversed"],
)
def test_a_wheel_that_does_not_get_smaller_chooses_nothing(
    command: Command, shop: Shop, log: Path, size: Callable[[int, float], str]
) -> None:
    found = read(command, shop, resized(log, size), "--json").document
    assert found["verdict"] == "cannot-tell"
    assert (found["best"], found["best_so_far"], found["recipe"]) == (None, None, None)
    assert {rung["wheel_mm_per_dress"] for rung in found["rungs"]} == {None}
    assert {rung["cost_per_part"] for rung in found["rungs"]} == {None}
    assert "do not show that the dresses take anything off" in found["why"]
    assert any("0.001 mm" in one for one in found["helps"])
    assert any("More blocks" in one for one in found["helps"])


@pytest.mark.parametrize(
    ("size", "first"),
    [(lambda at, mm: f"{mm / 25.4:.4f}", "4.8"), (lambda at, mm: f"{mm / 2:.4f}", "61.9")],
    ids=["inches", "radius"],
)
def test_sizes_that_the_recipes_wheel_cannot_have_do_not_count(
    command: Command, shop: Shop, log: Path, size: Callable[[int, float], str], first: str
) -> None:
    # the recipe's diameter is 100 to 125 mm
    found = read(command, shop, resized(log, size), "--json").document
    assert found["verdict"] == "cannot-tell"
    assert found["best"] is None
    (note,) = found["notes"]
    assert f"Line 8 and 23 more: the wheel's size does not count: {first}" in note
    assert "100 to 125 mm" in note


def test_one_size_out_of_range_leaves_the_others(command: Command, shop: Shop, log: Path) -> None:
    slipped = resized(log, lambda at, mm: f"{mm / 10:.5f}" if at == 3 else f"{mm:.4f}")
    found = read(command, shop, slipped, "--json").document
    assert found["best"] == read(command, shop, log, "--json").document["best"]
    assert any("Line 26: the wheel's size does not count" in note for note in found["notes"])


def test_a_power_that_does_not_rise_has_no_numbers_of_loading(command: Command, shop: Shop, log: Path) -> None:
    path = log.with_name("frozen.csv")
    path.write_text(re.sub(r"^(\d+),[\d.]+,", r"\1,1.500,", log.read_text(), flags=re.MULTILINE))
    found = read(command, shop, path, "--json").document
    assert found["verdict"] == "cannot-tell"
    assert "does not measurably rise" in found["why"]
    assert (found["clean_kw"], found["clean_interval_kw"], found["rungs"]) == (None, None, [])


def test_a_negative_power_is_refused_with_its_line(command: Command, shop: Shop, log: Path) -> None:
    path = log.with_name("negative.csv")
    path.write_text(re.sub(r"^(\d+),", r"\1,-", log.read_text(), flags=re.MULTILINE))
    found = read(command, shop, path)
    assert found.code == 2
    assert "line 2: a power of -" in found.err


def test_rows_written_twice_are_read_as_once(command: Command, shop: Shop, log: Path) -> None:
    head, *rows = log.read_text().splitlines()
    path = log.with_name("twice.csv")
    path.write_text("\n".join([head, *(row for row in rows for _ in range(2))]) + "\n")
    once, found = read(command, shop, log, "--json").document, read(command, shop, path, "--json").document
    assert {key: found[key] for key in ("best", "rungs", "recipe")} == {
        key: once[key] for key in ("best", "rungs", "recipe")
    }
