"""The log of a trial: whole, with gaps, stopped, and what makes it unusable."""

from __future__ import annotations

import pytest

from gen.base.errors import DressblockError
from gen.power.trial.log import TrialLog, trial_log

HEAD = "part,power_kw,dressed,target,wheel_mm\n"


def keys(log: TrialLog) -> list[str]:
    return [note.key for note in log.notes]


def lines_of(log: TrialLog, key: str) -> list[str]:
    return [str(dict(note.numbers)["line"]) for note in log.notes if note.key == key]


def test_a_whole_log_is_cut_at_its_dresses() -> None:
    log = trial_log(HEAD + "1,1.5,0,,\n2,1.6,0,,\n3,1.2,1,220,124.9\n4,1.3,0,220,\n5,1.1,2,300,124.8\n6,1.2,0,300,\n")
    assert [(run.opening, run.target, run.dresses, run.ground) for run in log.runs] == [
        ("log", None, 0, 2),
        ("dress", 220.0, 1, 2),
        ("dress", 300.0, 2, 2),
    ]
    assert log.runs[1].wheel is not None
    assert log.runs[1].wheel.diameter_mm == 124.9
    assert log.notes == ()


def test_prepared_rows_that_nobody_filled_in_are_a_stopped_trial() -> None:
    log = trial_log(HEAD + "1,1.5,0,,\n2,1.6,0,,\n3,1.2,1,220,\n4,,0,220,\n5,,2,300,\n6,,0,300,\n")
    assert len(log.runs) == 2
    assert keys(log) == ["trial-stopped"]
    assert dict(log.notes[0].numbers)["runs"] == "1"


def test_gaps_are_ground_parts_and_said_by_line() -> None:
    log = trial_log(
        HEAD + "1,1.5,0,,\n4,1.6,0,,\n5,1.2,1,220,\n6,scrap,0,220,\n7,,0,220,\n9,1.1,1,300,\n10,1.2,0,300,\n"
    )
    assert lines_of(log, "rows-missing") == ["3", "6"]
    assert lines_of(log, "no-power") == ["5", "6"]
    assert log.runs[0].ground == 4
    assert log.runs[1].ground == 4
    assert log.runs[1].since == (0,)


def test_a_run_that_ended_early_has_fewer_parts() -> None:
    log = trial_log(
        HEAD + "1,1.5,0,,\n2,1.6,0,,\n3,1.9,1,220,\n4,skip,0,220,\n5,Skip,0,220,\n6,skip,2,260,\n7,skip,0,260,\n"
        "8,1.1,1,300,\n9,1.2,0,300,\n"
    )
    assert [(run.target, run.ground, run.next_part) for run in log.runs] == [(None, 2, 3), (220.0, 1, 8), (300.0, 2, 0)]
    assert lines_of(log, "run-ended") == ["5"]
    assert lines_of(log, "run-skipped") == ["7"]
    assert lines_of(log, "rows-missing") == []


def test_truing_begins_anew() -> None:
    log = trial_log(
        "part,power_kw,dressed,target,wheel_mm,trued\n1,1.5,0,,,0\n2,1.2,1,220,124.9,0\n3,1.0,1,220,124.5,1\n4,1.1,0,220,,0\n"
    )
    assert [run.opening for run in log.runs] == ["log", "dress", "truing"]
    assert lines_of(log, "trued") == ["4"]


def test_semicolons_and_decimal_commas() -> None:
    log = trial_log("part;power_kw;dressed;target;wheel_mm\n1;1,5;0;;\n2;1,25;1;220;124,95\n")
    assert log.runs[1].powers == (1.25,)
    assert log.runs[1].wheel is not None
    assert log.runs[1].wheel.diameter_mm == 124.95


def test_several_rows_of_a_part_count_by_their_mean() -> None:
    log = trial_log(HEAD + "1,1.5,0,,\n2,1.0,1,220,\n2,1.1,1,220,124.9\n2,1.5,0,220,\n3,1.3,0,220,\n")
    assert log.runs[1].powers == pytest.approx((1.2, 1.3))
    assert log.runs[1].wheel is not None
    assert lines_of(log, "same-part") == ["4", "5"]


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ("part,power_kw,dressed\n1,1.5,0\n", 'no column "target"'),
        (HEAD, "no power in it yet"),
        (HEAD + "1,,0,,\n", "no power in it yet"),
        (HEAD + "1,1.5,12,220,\n", 'line 2: dressed is "12"'),
        (HEAD + "1,1.5,1,-3,\n", "line 2: target is -3"),
        (HEAD + "5,1.5,1,200,\n3,1.4,0,200,\n", "line 3: part 3 follows part 5"),
        (HEAD + "5,1.5,0,,\n5,1.4,1,200,\n", "line 3: part 5 is marked in a later row"),
        (HEAD.replace("wheel_mm", "trued") + "5,1.5,0,,0\n5,1.4,0,,1\n", "line 3: part 5 is marked in a later row"),
        (HEAD + "1,1.5,1,200\n", "line 2: 4 cells under 5 names"),
        (HEAD + "1,1.5,1,abc,\n", "line 2: target"),
        ("", "empty"),
        (HEAD + "".join(f"{part},1.5,1,220,\n" for part in range(1, 300)), "more than 200 runs"),
    ],
)
def test_what_cannot_be_used_names_its_line(rows: str, said: str) -> None:
    with pytest.raises(DressblockError, match=said):
        trial_log(rows)
