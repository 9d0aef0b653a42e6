"""Maintenance's table: every number by hand from the two files, and what a change would break."""

from __future__ import annotations

import csv
import io
import math
from datetime import date
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from runner import Command, Outcome, Shop


@pytest.fixture
def tree(shop: Shop) -> Path:
    return shop.root / "machines"


def rows(outcome: Outcome, recipe: str = "flute-rough") -> dict[str, dict[str, Any]]:
    return {row["quantity"]: row for row in outcome.document["rows"] if row["recipe"] == recipe}


# quantity, value, limit, margin, unit, side: from machine.toml and flute-rough.toml of north-bench by hand
BY_HAND = [
    ("plunge feed, dresser", 300, 400, 100, "mm/min", "most"),  # 0.06 * 250 * 20 m/s
    ("plunge feed, axis U", 300, 600, 300, "mm/min", "most"),
    ("aggressiveness", 250, 300, 50, "", "most"),
    ("spindle speed, new wheel", 3056, 6000, 2944, "rpm", "most"),  # 60000 * 20 / (pi * 125) = 3055.8
    ("spindle speed, worn wheel", 3820, 6000, 2180, "rpm", "most"),  # 60000 * 20 / (pi * 100) = 3819.7
    ("spindle speed, marking", 3820, 9625, 5805, "rpm", "most"),  # 60000 * 63 / (pi * 125) = 9625.7, rounded down
    ("wheel speed, marking", 20, 63, 43, "m/s", "most"),
    ("travel U, parked", 0, 0, 0, "mm", "least"),
    ("travel U, full stick", 68, 190, 122, "mm", "most"),  # worn wheel: 260 - 150 - 50 + 8
    ("travel U, last stick", 180, 190, 10, "mm", "most"),  # worn wheel: 260 - 38 - 50 + 8
    ("travel X", 180, 250, 70, "mm", "most"),
    ("stick left", 30, 30, 0, "mm", "least"),  # 15 dresses of 8 mm off 150 mm
    ("plunge", 8, 12, 4, "mm", "most"),
    # sagitta of 25 mm on the worn wheel, 50 - sqrt(50^2 - 12.5^2) = 1.588 mm, and 0.5 and 1 mm
    ("clearance", 4, 3.088, 0.912, "mm", "least"),
]


@pytest.mark.parametrize(("quantity", "value", "limit", "margin", "unit", "side"), BY_HAND)
def test_value_limit_and_margin(
    command: Command, tree: Path, quantity: str, value: float, limit: float, margin: float, unit: str, side: str
) -> None:
    row = rows(command("limits", tree / "north-bench", "--json"))[quantity]
    assert (row["machine"], row["unit"], row["side"], row["holds"]) == ("north-bench", unit, side, True)
    numbers = [row["value"], row["limit"], row["margin"]]
    assert numbers == pytest.approx([value, limit, margin], abs=0.001)


def test_the_sagitta_above_is_right() -> None:
    assert 50 - math.sqrt(50**2 - 12.5**2) + 1.5 == pytest.approx(3.088, abs=0.0005)


def test_removal_is_section_by_feed(command: Command, shop: Shop, tree: Path) -> None:
    lines = [line for line in shop.machine.read_text().splitlines() if not line.startswith("max_removal")]
    shop.machine.write_text("\n".join(lines).replace("[dresser]", '[dresser]\nmax_removal = "80000 mm3/min"'))
    row = rows(command("limits", tree / "north-bench", "--json"))["removal"]
    # 10 mm * 25 mm * 300 mm/min
    assert (row["value"], row["limit"], row["margin"]) == (75000, 80000, 5000)


def test_a_timed_rate_is_held_at_both_ends_of_its_valve(command: Command, tree: Path) -> None:
    outcome = command("limits", tree / "air-feeder", "--json")
    row = rows(outcome, "relief-wheel")["timed rate, aggressiveness"]
    # 290 mm/min less 5 % at 20 m/s: 275.5 / (0.06 * 20) = 229.6; the fast end, 253.8, is further from 300
    assert (row["value"], row["limit"], row["side"]) == (pytest.approx(229.6, abs=0.05), 200, "least")
    assert not [row for row in outcome.document["rows"] if row["quantity"].startswith("plunge feed")]


def test_an_inch_shop_reads_inches(command: Command, tree: Path) -> None:
    row = rows(command("limits", tree / "inch-table", "--json"), "slot-wheel")["plunge feed, dresser"]
    assert (row["limit"], row["unit"]) == (15, "in/min")


def test_a_pack_has_a_row_for_each_wheel(command: Command, tree: Path) -> None:
    outcome = command("limits", tree / "pack-grinder", "--json")
    quantities = {row["quantity"] for row in outcome.document["rows"]}
    assert {f"plunge feed, dresser, wheel {number}" for number in (1, 2, 3)} <= quantities


def test_the_tightest_come_first(command: Command, tree: Path) -> None:
    outcome = command("limits", tree, "--json")
    assert outcome.code == 0
    # parked at the end of the travel is tight by design, and comes last
    shares = [(row["quantity"].endswith(", parked"), row["relative"]) for row in outcome.document["rows"]]
    assert shares == sorted(shares)
    recipes = {row["recipe"].removesuffix("-after-truing") for row in outcome.document["rows"]}
    assert recipes == {path.stem for path in tree.glob("*/dress/*.toml")}


def test_which_recipes_break_if_this_slide_is_turned_down(command: Command, shop: Shop, tree: Path) -> None:
    before = shop.machine.read_bytes()
    outcome = command("limits", tree / "north-bench", "--set", "axes.U.max_feed=240 mm/min", "--json")
    assert outcome.code == 1
    # 250 at 20 m/s wants 300, 250 at 22 m/s 330, 220 at 18 m/s 237.6 mm/min
    assert {one["recipe"] for one in outcome.document["broken"]} == {"flute-rough", "outside-wide"}
    row = rows(outcome)["plunge feed, axis U"]
    assert (row["value"], row["limit"], row["margin"], row["holds"]) == (300, 240, -60, False)
    assert rows(outcome, "flute-finish")["plunge feed, axis U"]["margin"] == pytest.approx(2.4)
    (reason,) = [one["reasons"] for one in outcome.document["broken"] if one["recipe"] == "flute-rough"]
    assert "At 16 m/s it fits." in reason[0]
    assert shop.machine.read_bytes() == before


def test_what_brings_it_back_does(command: Command, tree: Path) -> None:
    settings = ("--set", "axes.U.max_feed=240 mm/min", "--set", "recipe:dress.wheel_speed=16 m/s")
    outcome = command("limits", tree / "north-bench", *settings, "--json")
    assert (outcome.code, outcome.document["broken"]) == (0, [])


def test_the_same_question_in_words(command: Command, tree: Path) -> None:
    outcome = command("limits", tree, "--set", "axes.U.max_feed=240 mm/min")
    lines = outcome.out.splitlines()
    assert lines[0].split() == ["machine", "recipe", "quantity", "value", "limit", "margin"]
    assert lines[1].endswith("BROKEN")
    assert "north-bench/flute-rough would be refused:" in lines
    assert lines[-1].endswith("with machine axes.U.max_feed = 240 mm/min.")


def test_a_setting_that_fits_nowhere_is_said(command: Command, tree: Path) -> None:
    outcome = command("limits", tree, "--set", "axes.Q.max_feed=240 mm/min")
    assert outcome.code == 2
    assert "axes.Q.max_feed" in outcome.err


@pytest.mark.parametrize(
    ("setting", "said"),
    [
        ("axes.U.max_feed", "a key and a value"),
        ("=3", "a key and a value"),
        ("axes..max_feed=3 mm/min", "a key and a value"),
        ("axes.U.max_feed=240", "bare number"),
        ("axes.U.max_fed=240 mm/min", "max_feed"),
        ("recipe:dress.plunges=many", "whole number"),
    ],
)
def test_a_setting_that_makes_no_sense_is_said(command: Command, tree: Path, setting: str, said: str) -> None:
    outcome = command("limits", tree / "north-bench", "--set", setting)
    assert outcome.code == 2
    assert said in outcome.err


def test_a_broken_file_is_listed_and_the_others_shown(command: Command, shop: Shop, tree: Path) -> None:
    shop.change(shop.recipe, 'plunge = "8 mm"', "plunge = 8")
    outcome = command("limits", tree / "north-bench", "--json")
    assert outcome.code == 2
    assert [Path(one["file"]).name for one in outcome.document["errors"]] == ["flute-rough.toml"]
    assert rows(outcome, "flute-finish")
    assert not rows(outcome)


def test_a_stick_too_short_for_one_dress_still_has_its_row(command: Command, shop: Shop, tree: Path) -> None:
    shop.change(shop.recipe, 'length = "150 mm"', 'length = "35 mm"')
    outcome = command("limits", tree / "north-bench", "--json")
    assert outcome.code == 1
    row = rows(outcome)["stick left"]
    assert (row["value"], row["margin"], row["holds"]) == (27, -3, False)


def test_the_first_opening_after_truing_has_rows_of_its_own(command: Command, shop: Shop, tree: Path) -> None:
    shop.recipe.write_text(shop.recipe.read_text() + '\n[dress.after_truing]\nplunge = "11 mm"\n')
    outcome = command("limits", tree / "north-bench", "--json")
    assert rows(outcome, "flute-rough-after-truing")["plunge"]["margin"] == 1
    assert rows(outcome)["plunge"]["margin"] == 4


def test_a_folder_without_recipes_is_said(command: Command, tmp_path: Path) -> None:
    assert command("limits", tmp_path).code == 2
    assert command("limits", tmp_path / "none").code == 2


def test_csv_is_what_the_table_says(command: Command, tree: Path) -> None:
    told = command("limits", tree, "--json").document["rows"]
    read = list(csv.DictReader(io.StringIO(command("limits", tree, "--csv").out)))
    assert [(row["machine"], row["recipe"], row["quantity"]) for row in read] == [
        (row["machine"], row["recipe"], row["quantity"]) for row in told
    ]
    for key in ("value", "limit", "margin"):
        assert [float(row[key]) for row in read] == pytest.approx([row[key] for row in told], abs=1e-6)


def test_a_name_is_no_formula_in_a_spreadsheet(command: Command, shop: Shop, tree: Path) -> None:
    shop.recipe.rename(shop.recipe.with_name("=1+1.toml"))
    names = {row["recipe"] for row in csv.DictReader(io.StringIO(command("limits", tree, "--csv").out))}
    assert "'=1+1" in names
    assert not [name for name in names if name[0] in "=+-@"]


class Page(HTMLParser):
    """What a page shows and what it is made of."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.loaded: list[str] = []
        self.text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.loaded += [
            str(value) for name, value in attrs if name in ("src", "href", "style") or name.startswith("on")
        ]

    def handle_data(self, data: str) -> None:
        self.text += data


def test_a_page_to_hang_up(command: Command, shop: Shop, tree: Path) -> None:
    shop.recipe.rename(shop.recipe.with_name("<script>alert(1)<.toml"))
    path = shop.root / "limits.html"
    outcome = command("limits", tree, "--set", "axes.U.max_feed=240 mm/min", "--html", path)
    assert outcome.code == 1
    page = Page()
    page.feed(path.read_text())
    assert "script" not in page.tags
    assert page.loaded == []
    assert "<script>alert(1)<" in page.text
    assert "machine axes.U.max_feed = 240 mm/min" in page.text
    assert "At 16 m/s it fits." in page.text
    assert page.tags.count("tr") - 1 == len(command("limits", tree, "--json").document["rows"])


def test_the_page_has_row_heads_a_date_page_numbers(command: Command, shop: Shop, tree: Path) -> None:
    path = shop.root / "limits.html"
    command("limits", tree, "--html", path)
    text = path.read_text()
    rows = command("limits", tree, "--json").document["rows"]
    assert text.count('<th scope="row">') == len(rows)
    assert f'content: "{date.today().isoformat()}"' in text
    assert 'counter(page) " / " counter(pages)' in text
    assert "mm3/min" not in text


def test_what_can_be_acted_on_leads(command: Command, tree: Path) -> None:
    rows = command("limits", tree, "--json").document["rows"]
    parked = [row["quantity"].endswith(", parked") for row in rows]
    # every stick is parked at the end of its travel, on purpose
    assert parked == sorted(parked)
    few = command("limits", tree, "--tightest", "3", "--json").document["rows"]
    assert few == rows[:3]
    assert command("limits", tree, "--tightest", "0").code == 2


def test_reach_says_where_each_target_can_be_had(command: Command, tree: Path) -> None:
    document = command("limits", "--reach", tree / "north-bench/machine.toml", "--json").document
    assert document["feed_mm_min"] == [10, 400]
    by_target = {one["target"]: one["wheel_speed_m_s"] for one in document["targets"]}
    # common practice, no source: 250 at 20 m/s is 300 mm/min, so 400 mm/min is 26.67 m/s and 10 mm/min 0.667 m/s
    assert by_target[250] == pytest.approx([10 / 15, 400 / 15])
    cells = {(one["wheel_speed_m_s"], one["target"]): one for one in document["reach"]}
    assert cells[20, 250]["feed_mm_min"] == 300
    assert [cells[speed, 250]["reached"] for speed in (25, 28)] == [True, False]
    # 60000 * 20 / (pi * 6000 rpm) = 63.66 mm, and at 500 rpm 763.9 mm
    assert cells[20, 250]["diameter_mm"] == pytest.approx([63.66, 763.94], abs=0.005)


def test_reach_counts_the_inclination_in_and_takes_settings(command: Command, tree: Path) -> None:
    words = ("--reach", tree / "leaning-slide", "--set", "axes.U.max_feed=240 mm/min", "--json")
    document = command("limits", *words).document
    by_target = {one["target"]: one["wheel_speed_m_s"] for one in document["targets"]}
    # v = F cos(alpha) / (0.06 Aggr)
    assert by_target[250][1] == pytest.approx(240 * math.cos(math.radians(20)) / 15)


def test_reach_in_words(command: Command, tree: Path) -> None:
    outcome = command("limits", "--reach", tree / "north-bench")
    assert outcome.code == 0
    line = next(line for line in outcome.out.splitlines() if line.startswith("28 m/s"))
    assert "336 mm/min" in line  # 0.06 * 200 * 28
    assert "out of reach" in line
    assert "250 is reached from 0.67 m/s to 26.67 m/s" in outcome.out


def test_a_setting_that_cannot_be_read_is_said_once(command: Command, tree: Path) -> None:
    outcome = command("limits", tree, "--set", "axes.U.max_feed=240 mm/foo")
    assert outcome.code == 2
    assert outcome.out == ""
    assert outcome.err.count("240 mm/foo") == 1
    assert outcome.err.startswith("--set: axes.U.max_feed: ")


def test_a_speed_is_told_in_the_unit_of_the_language(command: Command, tree: Path) -> None:
    # as on the sheet: a German shop reads 1/min
    told = command("limits", tree / "north-bench", "--language", "de").out
    assert "3000 1/min" in told
    assert "rpm" not in told
