"""``interval`` at the command line: the demo logs, others made the same way, and what is said where little can be."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from shop_logs import DEMO, GOOD, NOISY, TIMID, WANTS_TRUING, Truth, text, varied

from gen.base.places import data_folder
from gen.cli import main

Written = Callable[[str], Path]
HEADER = "part,power_kw,dressed\n"


def interval(log: Path, *words: str, limit: str = "2 kW") -> Result:
    return CliRunner().invoke(main, ["interval", str(log), "--limit", limit, *words])


def answer(log: Path, *words: str, limit: str = "2 kW") -> dict[str, Any]:
    outcome = interval(log, *words, "--json", limit=limit)
    assert outcome.exit_code == 0, outcome.stderr
    found = json.loads(outcome.stdout)
    assert isinstance(found, dict)
    return found


@pytest.fixture
def written(tmp_path: Path) -> Written:
    def write(content: str) -> Path:
        path = tmp_path / "log.csv"
        path.write_text(content, encoding="utf-8", newline="\n")
        return path

    return write


def demo(name: str) -> Path:
    return data_folder("machines") / name


# -- the verdicts built in


@pytest.mark.parametrize("name", DEMO)
def test_a_demo_log_is_the_one_made_and_its_verdict_the_one_built_in(name: str) -> None:
    truth, seed = DEMO[name]
    assert demo(name).read_text(encoding="utf-8") == text(truth, seed)
    assert answer(demo(name))["verdict"] == truth.verdict


@pytest.mark.parametrize("seed", range(20))
@pytest.mark.parametrize("truth", [GOOD, TIMID, WANTS_TRUING, NOISY], ids=lambda truth: truth.verdict)
def test_others_made_the_same_way_have_it_too(written: Written, truth: Truth, seed: int) -> None:
    log = written(text(varied(truth, seed), 100 + seed))
    assert answer(log, limit="6 kW")["verdict"] == truth.verdict


@pytest.mark.parametrize(
    ("truth", "verdict"),
    [
        (replace(GOOD, runs=3), "good"),
        (replace(GOOD, clears=0.9), "good"),
        (replace(GOOD, clears=0.3, runs=3), "too-gentle"),
        (replace(GOOD, clears=0.4, runs=30), "too-gentle"),
        (replace(GOOD, clears=0.1), "too-gentle"),
        (replace(GOOD, wear=0.05, runs=8), "true-the-wheel"),
        # four runs creep, and what they will do next nothing tells
        (replace(GOOD, wear=0.1, runs=4, noise=0.005, unsteady=0.003), "unknown"),
        (replace(GOOD, wear=-0.1, noise=0.01), "unknown"),
        (replace(GOOD, noise=0.6), "unknown"),
    ],
)
def test_the_verdict_of_other_logs(written: Written, truth: Truth, verdict: str) -> None:
    assert [answer(written(text(truth, seed)))["verdict"] for seed in range(5)] == [verdict] * 5


def test_the_good_demo_log_has_the_numbers_built_in() -> None:
    found = answer(demo("north-bench/logs/flute-rough-good.csv"))
    low, high = found["baseline_interval_kw"]
    assert low < GOOD.clean < high
    assert low < found["baseline_kw"] < high
    low, high = found["rise_interval_kw_per_part"]
    assert low < GOOD.rise < high
    # the line reaches 2 kW after (2 - 1.1) / 0.12 = 7.5 parts more than the first, so the eighth is below
    assert found["parts_until_limit"] == 8
    assert found["parts_between_dresses"] == 7
    assert found["margin_kw"] == pytest.approx(2 - found["baseline_kw"] - 6 * found["rise_kw_per_part"], abs=1e-4)
    assert len(found["recovery"]) == GOOD.runs
    assert found["recovery"][0] is None
    assert all(0.8 < share < 1.2 for share in found["recovery"][1:])
    assert found["recovery_together"] == pytest.approx(1, abs=0.02)
    assert found["causes"] == []
    assert found["true_in"] is None


def test_a_timid_dress_shows_in_the_first_shares(written: Written) -> None:
    # of a loading of 0.32 kW a dress of 30 % takes 0.1 kW, 30 % of the rise, and more later
    truth = replace(TIMID, noise=0.001, unsteady=0.0)
    shares = answer(written(text(truth, 1)))["recovery"]
    assert shares[0] is None
    loading = 6 * truth.rise
    for share in shares[1:5]:
        loading = (1 - truth.clears) * loading
        # the dress is logged one part after the last fitted one, at the loading then
        end = loading + truth.every * truth.rise
        rise = (truth.every - 1) * truth.rise
        assert share == pytest.approx((loading + rise - (1 - truth.clears) * end) / rise, abs=0.02)
        loading = end


def test_when_to_true_is_told() -> None:
    log = demo("north-bench/logs/flute-finish-wants-truing.csv")
    found = answer(log)
    # by hand, of the truth: 2 - (1.1 + 13 · 0.03) - 5 · 0.08 = 0.11 kW of room, 3 dresses of 0.03 kW, six parts each
    assert found["true_in"] == {"dresses": 3, "parts": 18, "or_more": False}
    assert found["creep_kw_per_dress"] == pytest.approx(0.03, abs=0.003)
    said = interval(log).stdout
    assert "True the wheel: " in said
    assert "within about 3 dresses, 18 parts" in said
    assert "now: " in interval(log, limit="1.5 kW").stdout


# -- what is said


def test_the_answer_reads_like_an_answer() -> None:
    recipe = str(data_folder("machines") / "north-bench/dress/flute-rough.toml")
    said = interval(demo("north-bench/logs/flute-rough-good.csv"), "--recipe", recipe).stdout
    assert said.startswith("Dress every 7 parts (the recipe says 6).")
    for part in (
        "just after a dress   1.10 kW",
        "each part adds       0.120 kW",
        "19 of 20 runs",
        "The dresses are good: ",
        "the last one, before part 70, took 104 %",
        "Note: the first 3 parts, before the first mark, do not count",
        "makers' instructions and a qualified person come before it.",
    ):
        assert part in said
    assert "Likely causes" not in said


def test_causes_come_in_order_with_what_the_recipe_says(tmp_path: Path) -> None:
    log = demo("south-bench/logs/gash-cup-timid.csv")
    recipe = tmp_path / "gash-cup.toml"
    recipe.write_bytes((data_folder("machines") / "south-bench/dress/gash-cup.toml").read_bytes())
    causes = answer(log, "--recipe", str(recipe))["causes"]
    for cause, word in zip(causes, ("too coarse", "too slow", "too short"), strict=True):
        assert word in cause["cause"]
    assert causes[0]["recipe"].startswith("F280 is no coarser than is usual for D91 (F180 / F220;")
    assert "240" in causes[1]["recipe"]
    assert "plunges = 2" in causes[2]["recipe"]
    changed = recipe.read_text()
    for old, new in (('"F280"', '"F150"'), ("aggressiveness = 240", "aggressiveness = 150"), ("[200,", "[100,")):
        assert old in changed
        changed = changed.replace(old, new)
    recipe.write_text(changed)
    causes = answer(log, "--recipe", str(recipe))["causes"]
    assert "F150 is coarser than is usual for D91" in causes[0]["recipe"]
    assert "Likely; raise aggressiveness" in causes[1]["recipe"]
    assert [cause["recipe"] for cause in answer(log)["causes"]] == [None] * 3


# -- too little, and not usable


def test_no_dress_in_the_log(written: Written) -> None:
    log = written(HEADER + "".join(f"{number},{1 + 0.1 * number},0\n" for number in range(1, 9)))
    found = answer(log)
    assert (found["verdict"], found["baseline_kw"], found["parts_between_dresses"]) == ("unknown", None, None)
    assert found["recovery"] == []
    assert "no dress is marked" in found["why"]
    assert interval(log).stdout.startswith("How often to dress cannot be told from this log.")


def test_one_run_only(written: Written) -> None:
    log = written(HEADER + "1,1.00,1\n2,1.12,0\n3,1.19,0\n4,1.31,0\n5,1.40,0\n")
    found = answer(log)
    assert found["verdict"] == "unknown"
    assert found["baseline_kw"] == pytest.approx(1.0, abs=0.02)
    assert found["parts_between_dresses"] is None
    assert any("a single run" in note for note in found["notes"])


def test_a_run_of_single_parts(written: Written) -> None:
    found = answer(written(HEADER + "".join(f"{number},1.{number},1\n" for number in range(1, 9))))
    assert (found["verdict"], found["rise_kw_per_part"]) == ("unknown", None)
    assert "too few" in found["why"]


def test_power_that_does_not_change_at_all(written: Written) -> None:
    rows = "".join(f"{number},1.5,{int(number % 4 == 1)}\n" for number in range(1, 25))
    found = answer(written(HEADER + rows))
    assert (found["verdict"], found["rise_kw_per_part"], found["baseline_kw"]) == ("unknown", 0, 1.5)


def test_a_log_without_any_noise(written: Written) -> None:
    rows = "".join(f"{number},{1.25 + (number - 1) % 4 / 8},{int(number % 4 == 1)}\n" for number in range(1, 25))
    found = answer(written(HEADER + rows))
    assert (found["verdict"], found["baseline_kw"], found["rise_kw_per_part"]) == ("good", 1.25, 0.125)
    assert found["recovery"] == [None, 1, 1, 1, 1, 1]
    assert found["parts_between_dresses"] == found["most_parts_told"] == 6


def test_only_the_runs_since_truing_count(written: Written) -> None:
    before = text(replace(GOOD, clean=2.0), 5).splitlines()
    last = int(before[-1].split(",")[0])
    after = [line.split(",") for line in text(replace(GOOD, before=0), 6).splitlines()[1:]]
    lines = [before[0] + ",trued", *(f"{line},0" for line in before[1:])]
    lines += [f"{int(part) + last},{power},{mark},{int(at == 0)}" for at, (part, power, mark) in enumerate(after)]
    found = answer(written("\n".join(lines) + "\n"))
    assert found["verdict"] == "good"
    assert found["baseline_kw"] == pytest.approx(1.1, abs=0.05)
    assert len(found["recovery"]) == 2 * GOOD.runs
    assert [dress["part"] for dress in found["dresses"] if dress["unknown"] == "truing"] == [last + 1]
    assert sum(share is not None for share in found["recovery"]) == 2 * (GOOD.runs - 1)
    assert any("trued" in note for note in found["notes"])


def test_idle_power_and_units_do_not_change_the_interval(written: Written) -> None:
    plain = answer(written(text(GOOD, 9)))
    watts = "\n".join(
        line if line.startswith("part") else f"{part},{1000 * float(power) + 400:.0f},{mark}"
        for line in text(GOOD, 9).splitlines()
        for part, power, mark in [line.split(",")]
    )
    found = answer(written(watts), "--unit", "W", "--idle", "400 W", limit="2400 W")
    assert found["idle_kw"] == 0.4
    assert found["limit_kw"] == 2.0
    for key in ("baseline_kw", "rise_kw_per_part", "margin_kw", "parts_between_dresses", "verdict"):
        assert found[key] == (pytest.approx(plain[key], abs=1e-3) if isinstance(plain[key], float) else plain[key])
    said = interval(written(watts), "--unit", "W", "--idle", "400 W", limit="2400 W").stdout
    assert "2.00 kW above idle (2.40 kW less 0.40)" in said


def test_a_share_of_the_rated_power(written: Written) -> None:
    shares = "\n".join(
        line if line.startswith("part") else f"{part},{float(power) / 0.05:.2f},{mark}"
        for line in text(GOOD, 9).replace("power_kw", "load").splitlines()
        for part, power, mark in [line.split(",")]
    )
    words = ("--power", "load", "--unit", "%", "--rated", "5 kW")
    assert answer(written(shares), *words, limit="40 %")["limit_kw"] == 2.0
    assert answer(written(shares), *words, limit="40 %")["baseline_kw"] == pytest.approx(1.1, abs=0.05)


@pytest.mark.parametrize(
    ("words", "limit", "said"),
    [
        ((), "2", "kW"),
        ((), "2 mm", "--limit"),
        ((), "0 kW", "more than 0"),
        ((), "80 %", "--rated"),
        (("--unit", "%"), "2 kW", "--rated"),
        (("--idle", "1 kW", "--idle-column", "x"), "2 kW", "keep one"),
        (("--power", "load"), "2 kW", 'no column "load"'),
        (("--recipe", "none.toml"), "2 kW", "none.toml"),
    ],
)
def test_what_cannot_be_used_is_said(written: Written, words: tuple[str, ...], limit: str, said: str) -> None:
    outcome = interval(written(text(GOOD, 1)), *words, limit=limit)
    assert outcome.exit_code == 2
    assert said in outcome.stderr
    assert outcome.stdout == ""


CELL = st.one_of(
    st.integers(0, 9).map(str), st.floats(0, 3).map(str), st.sampled_from(["", "1", "0", "x", "-1", "nan"])
)


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.lists(st.tuples(st.integers(0, 2), st.floats(-2, 5), st.booleans()), max_size=25),
    st.lists(st.lists(CELL, min_size=2, max_size=4).map(",".join), max_size=1),
)
def test_every_log_gets_an_answer_or_one_sentence(
    written: Written, rows: list[tuple[int, float, bool]], spoilt: list[str]
) -> None:
    number, lines = 1, []
    for step, power, mark in rows:
        number += step
        lines.append(f"{number},{power:.4f},{int(mark)}")
    outcome = interval(written(HEADER + "\n".join([*lines, *spoilt]) + "\n"), "--json")
    assert outcome.exception is None or isinstance(outcome.exception, SystemExit), outcome.exception
    assert outcome.exit_code in (0, 2)
    if outcome.exit_code == 0:
        assert json.loads(outcome.stdout)["verdict"] in ("good", "too-gentle", "true-the-wheel", "unknown")
        assert interval(written(HEADER + "\n".join([*lines, *spoilt]) + "\n")).exit_code == 0
    else:
        assert outcome.stderr.count("\n") == 1
