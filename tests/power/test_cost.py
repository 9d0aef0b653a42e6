"""What dressing costs: by hand, and the truing that costs least against numpy."""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from click.testing import Result
from hypothesis import given
from hypothesis import strategies as st

from gen.base.places import data_folder
from gen.power.cost import DressPrices, part_cost, sticks_a_month, truing_due
from runner import invoke

COSTS = """
[costs]
currency = "EUR"
machine_hour = 90
stick = 9.6
wheel_mm = 30
truing_time = "15 min"
truing_mm = 0.05
"""


def test_a_part_costs_its_share_of_a_dress_by_hand() -> None:
    prices = DressPrices("EUR", stick=0.6, time=0.3, truing=20.0, dresses_per_stick=15)
    found = part_cost(prices, 6)
    assert (found.stick, found.time, found.known) == pytest.approx((0.1, 0.05, 0.15))
    # what has no price, or was never measured, is not known
    assert (found.wheel, found.truing, found.is_whole) == (None, None, False)
    prices = replace(prices, wheel=0.9, dresses_per_truing=40)
    found = part_cost(prices, 6)
    # 20 for 240 parts
    assert (found.wheel, found.truing, found.known) == pytest.approx((0.15, 20 / 240, 0.3 + 20 / 240))
    assert found.is_whole
    assert part_cost(prices, 6, 100).truing == pytest.approx(0.2)
    assert part_cost(replace(prices, stick=None), 6).stick is None
    # 40 parts a day on 21 days are 840 parts, 140 dresses, 9.33 sticks of 15 dresses
    assert sticks_a_month(prices, 6, 40) == pytest.approx(140 / 15)


@given(st.floats(1, 100), st.floats(0.1, 2), st.floats(3, 20), st.floats(0.05, 1), st.integers(1, 12))
def test_truing_is_due_where_a_part_costs_least(
    truing: float, dress: float, first: float, less: float, most: int
) -> None:
    prices = DressPrices("", stick=dress, time=0.0, truing=truing, dresses_per_stick=1)
    found = truing_due(prices, first, less, most)
    assert found is not None
    runs = np.minimum(most, np.floor(first - less * np.arange(2000) + 1e-9))
    runs = runs[: int(np.argmax(runs < 1))]
    cost = (truing + dress * np.arange(1, len(runs) + 1)) / np.cumsum(runs)
    assert found.per_part == pytest.approx(cost.min())
    assert cost[found.dresses - 1] == pytest.approx(cost.min())
    low, high = found.within
    assert low <= found.dresses <= high
    assert cost[low - 1] <= 1.02 * cost.min() + 1e-12
    assert found.parts == runs[: found.dresses].sum()


def test_without_creep_or_a_price_no_truing_is_due() -> None:
    assert truing_due(DressPrices("", 1, 1, None, 1), 8, 0.2, 6) is None
    assert truing_due(DressPrices("", 1, 1, 20, 1), 8, 0, 6) is None


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    shutil.copytree(data_folder("machines") / "north-bench", tmp_path / "north-bench")
    machine = tmp_path / "north-bench/machine.toml"
    machine.write_text(machine.read_text().partition("\n[costs]")[0] + "\n")
    return tmp_path / "north-bench"


def interval(shop: Path, log: str, *words: str) -> dict[str, object]:
    recipe = shop / "dress/flute-rough.toml"
    command = ["interval", str(shop / "logs" / log), "--limit", "2 kW", "--recipe", str(recipe), "--json", *words]
    outcome = invoke(*command)
    assert outcome.exit_code == 0, outcome.stderr
    found = json.loads(outcome.stdout)
    assert isinstance(found, dict)
    return found


def test_interval_tells_what_its_answer_costs(shop: Path) -> None:
    assert interval(shop, "flute-rough-good.csv")["costs"] is None
    with (shop / "machine.toml").open("a") as file:
        file.write(COSTS)
    found = interval(shop, "flute-rough-good.csv", "--parts-a-day", "40")
    costs = found["costs"]
    assert isinstance(costs, dict)
    # a stick of 150 mm with 30 mm left gives 15 dresses of 8 mm, as the sheet says too
    assert costs["dresses_per_stick"] == 15
    assert costs["dress"]["stick"] == pytest.approx(9.6 / 15)
    assert costs["truing"] == pytest.approx(90 / 4 + 30 * 0.05)
    first = costs["per_part"][0]
    assert first["parts_between_dresses"] == found["parts_between_dresses"] == 7
    assert first["total"] == pytest.approx((costs["dress"]["stick"] + costs["dress"]["time"]) / 7, abs=1e-4)
    assert costs["sticks_a_month"] == pytest.approx(8.0)
    assert costs["true_after"] is None


def test_creep_tells_when_truing_pays(shop: Path) -> None:
    with (shop / "machine.toml").open("a") as file:
        file.write(COSTS)
    costs = interval(shop, "flute-finish-wants-truing.csv")["costs"]
    assert isinstance(costs, dict)
    # 1.1 kW at first, 0.03 kW more a dress, 0.08 kW a part, six parts a run: the limit of 2 kW comes after 17 dresses
    assert 13 <= costs["true_after"]["dresses"] <= 30


def test_a_price_that_is_wanted_is_named(shop: Path) -> None:
    with (shop / "machine.toml").open("a") as file:
        file.write('\n[costs]\ncurrency = "EUR"\nstick = 9.6\n')
    recipe = str(shop / "dress/flute-rough.toml")
    log = str(shop / "logs/flute-rough-good.csv")
    outcome = invoke("interval", log, "--limit", "2 kW", "--recipe", recipe)
    assert outcome.exit_code == 0
    assert "[costs] lacks machine_hour." in outcome.stdout


def test_what_a_dress_takes_off_the_wheel_counts_where_it_is_known(shop: Path) -> None:
    with (shop / "machine.toml").open("a") as file:
        file.write(COSTS + 'dress_mm = "0.005 mm"\n')
    costs: Any = interval(shop, "flute-rough-good.csv")["costs"]
    assert costs["dress"]["wheel"] == pytest.approx(30 * 0.005)
    first = costs["per_part"][0]
    assert first["wheel"] == pytest.approx(0.15 / 7, abs=1e-4)
    assert first["total"] == pytest.approx((9.6 / 15 + costs["dress"]["time"] + 0.15) / 7, abs=1e-4)
    assert first["truing"] is None
    assert not first["whole"]


# -- limits --cost


def limits(shop: Path, *words: str) -> Result:
    return invoke("limits", str(shop), "--cost", *words)


def cost_of(shop: Path, *words: str) -> Any:
    outcome = limits(shop, "--json", *words)
    assert outcome.exit_code == 0, outcome.stderr
    return {row["recipe"]: row for row in json.loads(outcome.stdout)["costs"]}


def test_limits_tells_what_a_part_costs_by_hand(shop: Path) -> None:
    with (shop / "machine.toml").open("a") as file:
        file.write(COSTS + 'dress_mm = "0.005 mm"\ndresses_per_truing = 40\n')
    found = cost_of(shop, "--parts-a-day", "40")["flute-rough"]
    part = found["per_part"]
    assert part["parts_between_dresses"] == found["every_parts"] == 6
    # 15 dresses a stick and 9.0 s a dress, as the sheet has it
    assert part["stick"] == pytest.approx(9.6 / 15 / 6, abs=1e-4)
    assert part["time"] == pytest.approx(90 / 3600 * 9.0 / 6, abs=0.0005)
    assert part["wheel"] == pytest.approx(30 * 0.005 / 6, abs=1e-4)
    # a quarter of an hour and 0.05 mm, every 40 dresses of 6 parts
    assert part["truing"] == pytest.approx((90 / 4 + 30 * 0.05) / 240, abs=1e-4)
    assert part["total"] == pytest.approx(sum(part[name] for name in ("stick", "time", "wheel", "truing")), abs=2e-4)
    assert part["whole"]
    assert found["unknown"] == []
    assert found["sticks_a_month"] == pytest.approx(40 * 21 / 6 / 15, abs=0.01)
    assert found["true_after"] is None
    # the same figures as interval has for six parts
    costs: Any = interval(shop, "flute-rough-good.csv")["costs"]
    assert next(one for one in costs["per_part"] if one["parts_between_dresses"] == 6) == part


def test_what_is_not_known_is_never_nothing(shop: Path) -> None:
    with (shop / "machine.toml").open("a") as file:
        file.write('\n[costs]\ncurrency = "EUR"\nstick = 9.6\n')
    found = cost_of(shop)["flute-rough"]
    assert {name: found["per_part"][name] for name in ("time", "wheel", "truing")} == dict.fromkeys(
        ("time", "wheel", "truing")
    )
    assert found["per_part"]["total"] == found["per_part"]["stick"]
    assert not found["per_part"]["whole"]
    wanted = {one["cost"]: one["keys"] for one in found["unknown"]}
    assert wanted["time"] == ["costs.machine_hour"]
    assert wanted["wheel"] == ["costs.wheel_mm", "costs.dress_mm"]
    assert "costs.dresses_per_truing" in wanted["truing"]
    said = limits(shop).stdout
    assert "≥ 0.107 EUR" in said
    assert "dress time (write costs.machine_hour)" in said


def test_without_prices_nothing_is_told_but_what_would_help(shop: Path) -> None:
    found = cost_of(shop, "--parts-a-day", "200")["flute-rough"]
    assert found["per_part"] is None
    assert {one["cost"] for one in found["unknown"]} == {"stick", "time", "wheel", "truing"}
    # sticks are counted without a price: 200 parts on 21 days, a dress every 6, 15 dresses a stick
    assert found["sticks_a_month"] == pytest.approx(200 * 21 / 6 / 15, abs=0.01)


def test_a_name_for_the_money_is_no_price(shop: Path) -> None:
    with (shop / "machine.toml").open("a") as file:
        file.write('\n[costs]\ncurrency = "EUR"\n')
    assert cost_of(shop)["flute-rough"]["per_part"] is None
    assert "EUR" not in limits(shop).stdout


def test_only_a_log_says_when_to_true(shop: Path) -> None:
    with (shop / "machine.toml").open("a") as file:
        file.write(COSTS)
    log = "flute-finish-wants-truing.csv"
    words = ("--log", f"north-bench/flute-rough={shop / 'logs' / log}", "--limit", "2 kW")
    costs: Any = interval(shop, log)["costs"]
    each = cost_of(shop, *words)
    assert each["flute-rough"]["true_after"] == costs["true_after"]
    assert each["flute-rough"]["per_part"]["truing"] is not None
    assert each["flute-finish"]["true_after"] is None
    said = limits(shop, *words)
    assert f"after about {costs['true_after']['dresses']} dresses" in said.stdout
    german = limits(shop, *words, "--language", "de")
    assert "nach etwa" in german.stdout


TWICE = ("--log", "flute-rough=x.csv", "--log", "north-bench/flute-rough=y.csv")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--cost", "--csv"), "leave out --csv"),
        (("--parts-a-day", "40"), "give --cost"),
        (("--cost", "--log", "flute-rough"), "--log wants a recipe and its log"),
        (("--cost", "--log", "flute-rough=x.csv"), "--log wants the limit"),
        (("--cost", "--log", "nobody=x.csv", "--limit", "2 kW"), "no recipe here is called nobody"),
        (("--cost", "--log", "flute-rough=x.csv", "--limit", "2 kW"), "there is no such file"),
        (("--cost", *TWICE, "--limit", "2 kW"), "north-bench/flute-rough has a log already"),
    ],
)
def test_costs_that_cannot_be_told_are_one_sentence(shop: Path, words: tuple[str, ...], said: str) -> None:
    outcome = invoke("limits", str(shop), *words)
    assert outcome.exit_code == 2
    assert said in outcome.stderr
    assert "Traceback" not in outcome.stderr
