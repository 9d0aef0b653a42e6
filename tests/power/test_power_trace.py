"""Raw power traces: cut into parts by their idle gaps, and what cannot be cut is said."""

from __future__ import annotations

import json
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from gen.base.errors import DressblockError
from gen.power.log import Log, read_log
from gen.power.runs import cut, without
from gen.power.trace import cut_trace
from runner import invoke

IDLE, RATE = 0.3, 0.1
HEADER = "time_s,power_kw,dressed\n"


def grinding(chance: np.random.Generator, seconds: float, kw: float) -> list[float]:
    return list(kw + chance.normal(0, 0.03, round(seconds / RATE)))


def idling(chance: np.random.Generator, seconds: float) -> list[float]:
    return list(IDLE + np.abs(chance.normal(0, 0.01, round(seconds / RATE))))


def shift(parts: int, every: int = 6) -> tuple[list[float], list[int], list[float]]:
    """Powers ten times a second, the rows in which a part begins, and the mean power of each part."""
    chance = np.random.default_rng(7)
    powers, begins, means = idling(chance, 5), [], []
    for part in range(parts):
        begins.append(len(powers))
        own = grinding(chance, 8 + chance.uniform(-0.5, 0.5), 1.1 + 0.1 * (part % every))
        means.append(float(np.trapezoid(own) / (len(own) - 1)))
        powers += own + idling(chance, 4 + chance.uniform(0, 2))
    return powers, begins, means


def written(path: Path, powers: list[float], dressed: set[int], times: list[str] | None = None) -> Path:
    times = times or [f"{at * RATE:.1f}" for at in range(len(powers))]
    rows = (
        f"{time},{power:.3f},{int(at in dressed)}\n" for at, (time, power) in enumerate(zip(times, powers, strict=True))
    )
    path.write_text(HEADER + "".join(rows), encoding="utf-8", newline="\n")
    return path


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "trace.csv"


def interval(log: Path, *words: str) -> dict[str, Any]:
    outcome = invoke("interval", str(log), "--limit", "2 kW", "--json", *words)
    assert outcome.exit_code == 0, outcome.stderr
    found = json.loads(outcome.stdout)
    assert isinstance(found, dict)
    return found


def test_each_part_has_its_mean_and_its_peak(path: Path) -> None:
    powers, begins, means = shift(12)
    found: Log = read_log(written(path, powers, {begins[0], begins[6]}))
    assert [part.number for part in found.parts] == list(range(1, 13))
    assert [part.line for part in found.parts] == [begin + 2 for begin in begins]
    # numpy's trapezoid over the rows that were made as this part
    assert [part.power_kw for part in found.parts] == pytest.approx(means, abs=0.01)
    assert [part.number for part in found.parts if part.dressed] == [1, 7]
    highest = read_log(path, combine="highest")
    ends = [*begins[1:], len(powers)]
    peaks = [max(powers[begin:end]) for begin, end in zip(begins, ends, strict=True)]
    assert [part.power_kw for part in highest.parts] == pytest.approx(peaks, abs=1e-3)


def test_a_trace_gives_the_answer_of_its_parts(path: Path, tmp_path: Path) -> None:
    powers, begins, means = shift(60)
    found = interval(written(path, powers, set(begins[::6])))
    by_hand = tmp_path / "parts.csv"
    rows = "".join(f"{at + 1},{mean:.4f},{int(at % 6 == 0)}\n" for at, mean in enumerate(means))
    by_hand.write_text("part,power_kw,dressed\n" + rows)
    plain = interval(by_hand)
    assert found["verdict"] == plain["verdict"] == "steady"
    assert found["parts_between_dresses"] == plain["parts_between_dresses"]
    assert found["rise_kw_per_part"] == pytest.approx(plain["rise_kw_per_part"], abs=0.002)
    assert found["cut"]["parts"] == 60
    assert found["cut"]["idle_kw"] == pytest.approx(IDLE, abs=0.02)


def test_short_dips_are_no_gaps_and_what_is_no_part_is_told(path: Path) -> None:
    chance = np.random.default_rng(3)
    powers, begins, _ = shift(10)
    dip = begins[2] + 30
    powers[dip : dip + 3] = [IDLE] * 3
    touch = idling(chance, 3) + grinding(chance, 1.2, 1.0) + idling(chance, 3)
    double = grinding(chance, 16.5, 1.4) + idling(chance, 4)
    at_touch = len(powers) + 30
    at_double = len(powers) + len(touch)
    powers += touch + double + grinding(chance, 8, 1.2) + idling(chance, 4) + grinding(chance, 3, 1.2)
    found = read_log(written(path, powers, {0}))
    # the long one counts as two parts that were ground, the touch as none
    runs = without(cut(found.parts), {one.line for one in found.set_aside})
    assert [part.number for run in runs for part in run.parts] == [*range(1, 11), 13]
    assert [(one.line, one.why) for one in found.set_aside] == [
        (at_touch + 2, "not-cut"),
        (at_double + 2, "not-cut"),
        (len(powers) - 30 + 2, "not-cut"),
    ]
    assert found.parts[0].dressed


@pytest.mark.parametrize(
    "clock",
    [
        lambda at: f"{8 + at // 36000:02d}:{at // 600 % 60:02d}:{at % 600 / 10:04.1f}",
        lambda at: (datetime(2026, 3, 2, 8) + timedelta(seconds=at * RATE)).isoformat(sep=" "),
    ],
    ids=["clock", "date"],
)
def test_times_as_meters_write_them(path: Path, clock: Any) -> None:
    powers, begins, _ = shift(8)
    plain = read_log(written(path, powers, {begins[0]}))
    timed = read_log(written(path, powers, {begins[0]}, [clock(at) for at in range(len(powers))]))
    assert [part.power_kw for part in timed.parts] == pytest.approx([part.power_kw for part in plain.parts], abs=1e-6)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (HEADER + "".join(f"{at},{1 + at % 3 / 10},0\n" for at in range(60)), "no idle gaps"),
        (HEADER + "0,1,0\n2,1,0\n1,1,0\n", "line 4: time_s"),
        (HEADER + "0,1,0\nsoon,1,0\n", 'line 3: time_s is "soon"'),
        (HEADER + "0,0.1,0\n1,1,0\n2,0.1,0\n3,1,0\n4,0.1,0\n", "three rows"),
    ],
)
def test_a_trace_that_cannot_be_cut_is_refused(path: Path, text: str, said: str) -> None:
    path.write_text(text)
    with pytest.raises(DressblockError, match=said):
        read_log(path)


def test_two_levels_are_told_apart_whatever_the_share_of_idle() -> None:
    for idle in (20, 400):
        powers = ([0.3] * idle + [1.5] * 40) * 5 + [0.3] * 20
        found = cut_trace([float(at) for at in range(len(powers))], powers)
        assert len(found.stretches) == 5
        assert 0.3 < found.line_kw < 1.5


def test_an_idle_column_is_taken_off_a_trace_as_a_number_is(path: Path) -> None:
    powers, begins, _ = shift(30)
    taken_off = interval(written(path, powers, set(begins[::6])), "--idle", "0.3 kW")
    rows = path.read_text("utf-8").splitlines()
    path.write_text("\n".join([f"{rows[0]},idle_kw", *(f"{row},0.3" for row in rows[1:])]), "utf-8")
    by_column = interval(path, "--idle-column", "idle_kw")
    assert by_column["baseline_kw"] == pytest.approx(taken_off["baseline_kw"])
    assert by_column["idle_kw"] == pytest.approx(0.3)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--power", "power_kw", "--power", "dressed"), "give --power once"),
        (("--trued", "dresser_trued"), 'there is no column "dresser_trued"'),
        (("--idle-column", "rest"), 'there is no column "rest"'),
    ],
)
def test_a_column_that_a_trace_cannot_use_is_said(path: Path, words: tuple[str, ...], said: str) -> None:
    powers, begins, _ = shift(12)
    found = invoke("interval", str(written(path, powers, set(begins[::6]))), "--limit", "2 kW", *words)
    assert found.exit_code == 2
    assert said in found.stderr


def test_a_meter_that_counts_the_other_way_is_said(path: Path) -> None:
    # its idle power is then the higher one, and gaps would be taken for parts
    powers, begins, _ = shift(12)
    found = invoke("interval", str(written(path, [-one for one in powers], set(begins[::6]))), "--limit", "2 kW")
    assert found.exit_code == 2
    assert "look at the sign of the meter" in found.stderr
