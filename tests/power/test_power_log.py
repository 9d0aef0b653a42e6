"""Reading a log: columns, units, traces, and what cannot be used, said with its line."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from gen.base.errors import DressblockError
from gen.base.languages import told
from gen.power.log import Log, LogColumns, PowerScale, read_log
from gen.power.runs import cut, epochs, without
from gen.power.said import as_said
from gen.power.telling import worded

PLAIN = "part,power_kw,dressed\n1,1.5,0\n2,1.1,1\n3,1.2,0\n"


@pytest.fixture
def written(tmp_path: Path) -> Path:
    return tmp_path / "log.csv"


def log_of(path: Path, text: str | bytes, columns: LogColumns | None = None, scale: PowerScale | None = None) -> Log:
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return read_log(path, columns, scale)


def powers(log: Log) -> list[float]:
    return [part.power_kw for part in log.parts]


def test_the_three_columns(written: Path) -> None:
    log = log_of(written, PLAIN)
    assert [(part.number, part.power_kw, part.dressed, part.line) for part in log.parts] == [
        (1, 1.5, False, 2),
        (2, 1.1, True, 3),
        (3, 1.2, False, 4),
    ]
    assert log.idle_kw is None
    assert log.notes == ()


@pytest.mark.parametrize(
    "text",
    [
        "\ufeff" + PLAIN,
        PLAIN.replace("\n", "\r\n"),
        "# logged on a Tuesday\n\n" + PLAIN + "\n\n",
        PLAIN.replace(",", ";").replace(".", ","),
        PLAIN.replace(",", "\t"),
        PLAIN.replace("part,power_kw,dressed", " Part , Power_kW ,DRESSED"),
        PLAIN.replace(",0\n", ",\n").replace(",1\n", ",yes\n"),
        'dressed,note,power_kw,part\n0,a,1.5,1\n1,"b, c",1.1,2.0\n0,,1.2,3\n',
    ],
    ids=["mark", "crlf", "comments", "semicolons", "tabs", "capitals", "words", "order"],
)
def test_the_same_log_written_otherwise(written: Path, text: str) -> None:
    expected = [(part.number, part.power_kw, part.dressed) for part in log_of(written, PLAIN).parts]
    assert [(part.number, part.power_kw, part.dressed) for part in log_of(written, text).parts] == expected


def test_names_and_units_are_mapped(written: Path) -> None:
    text = "Teil,Leistung,neu,abgerichtet\n1,1500,0,0\n2,1100,1,0\n3,1200,0,1\n"
    columns = LogColumns("Teil", ("Leistung",), "neu", "abgerichtet")
    log = log_of(written, text, columns, PowerScale("W"))
    assert powers(log) == pytest.approx([1.5, 1.1, 1.2])
    assert [part.trued for part in log.parts] == [False, False, True]
    # 27 % of 5.5 kW is 1.485 kW
    text = "part,power_kw,dressed\n1,27,0\n"
    assert powers(log_of(written, text, scale=PowerScale("%", Decimal("5.5")))) == pytest.approx([1.485])


def test_idle_power_is_taken_off(written: Path) -> None:
    log = log_of(written, PLAIN, scale=PowerScale(idle_kw=Decimal("0.4")))
    assert powers(log) == pytest.approx([1.1, 0.7, 0.8])
    assert log.idle_kw == pytest.approx(0.4)
    text = "part,power_kw,dressed,idle\n1,1500,0,400\n2,1100,1,300\n"
    log = log_of(written, text, LogColumns(idle="idle"), PowerScale("W"))
    assert powers(log) == pytest.approx([1.1, 0.8])
    assert log.idle_kw == pytest.approx(0.35)


def test_several_traces_of_a_part(written: Path) -> None:
    text = "part,power_kw,dressed\n1,1.0,1\n1,1.4,0\n2,1.6,0\n2,1.2,0\n3,1.8,0\n"
    log = log_of(written, text)
    assert powers(log) == pytest.approx([1.2, 1.4, 1.8])
    assert log.parts[0].dressed
    assert log.notes == (
        as_said("several-rows", parts="2", combine="mean"),
        as_said("traces", least="1", most="2"),
    )
    assert powers(read_log(written, combine="highest")) == pytest.approx([1.4, 1.6, 1.8])
    wide = "part,rough,finish,dressed\n1,1.0,1.4,1\n2,1.6,1.2,0\n"
    assert powers(log_of(written, wide, LogColumns(power=("rough", "finish")))) == pytest.approx([1.2, 1.4])


def test_truing_counts_as_a_mark(written: Path) -> None:
    text = "part,power_kw,dressed,trued\n1,1,0,0\n2,1,1,0\n3,1,0,1\n4,1,1,0\n"
    runs = cut(log_of(written, text).parts)
    assert [run.opening for run in runs] == ["log", "dress", "truing", "dress"]
    assert [len(epoch) for epoch in epochs(runs)] == [1, 2]


def test_missing_parts_are_told_and_counted_as_ground(written: Path) -> None:
    log = log_of(written, "part,power_kw,dressed\n1,1,1\n2,1,0\n5,1,0\n6,1,0\n9,1,1\n11,1,0\n")
    assert log.notes == (as_said("missing", spans=(("3", "4"), ("7", "8"), ("10", ""))),)
    sentence = "parts 3 to 4, 7 to 8 and 10 are not in the log; they are taken as ground, with no dress among them."
    assert told("en", "note", worded(log.notes[0], str)) == sentence
    first, second = cut(log.parts)
    assert first.since == (0, 1, 4, 5)
    assert (first.parts_lost, second.parts_lost) == (2, 0)
    assert (first.ground, second.ground) == (8, 3)


def test_a_run_keeps_its_mark_when_its_first_part_does_not_count(written: Path) -> None:
    runs = cut(log_of(written, "part,power_kw,dressed\n1,1,1\n2,1,0\n3,1,2\n4,1,0\n5,1,1\n6,1,0\n").parts)
    _, second, _ = without(runs, {4})
    assert (second.opening, second.dresses, second.since, second.ground) == ("dress", 2, (1,), 2)
    # a run of which nothing counts: its parts were ground all the same
    first, last = without(runs, {4, 5})
    assert (first.ground, first.parts_lost) == (4, 2)
    assert last == runs[2]


def test_a_count_may_begin_anew_with_a_dress(written: Path) -> None:
    runs = cut(log_of(written, "part,power_kw,dressed\n1,1,1\n2,1,0\n3,1,0\n1,1,1\n2,1,0\n").parts)
    assert [run.since for run in runs] == [(0, 1, 2), (0, 1)]
    assert runs[0].parts_lost == 0


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "empty"),
        ("part,power_kw,dressed\n", "no rows"),
        ("part,kw,dressed\n1,1,0\n", 'no column "power_kw"'),
        ("part,power_kw,dresed\n1,1,0\n", 'did you mean "dresed"'),
        ("part,power_kw,power_kw,dressed\n1,1,1,0\n", '2 columns are called "power_kw"'),
        ("part,power_kw,dressed\n1,one,0\n", 'line 2: power_kw: read "one"'),
        ("part,power_kw,dressed\n1,1,0\n2,nan,0\n", 'line 3: power_kw: read "nan"'),
        ("part,power_kw,dressed\n1,inf,0\n", "finite"),
        ("part,power_kw,dressed\n1,1e999,0\n", "finite"),
        ("part,power_kw,dressed\n1,1_000,0\n", "finite"),
        ("part,power_kw,dressed\n1,,0\n", "this cell is empty"),
        ("part,power_kw,dressed\n1,1450,0\n", "--unit W"),
        ("part,power_kw,dressed\n1.5,1,0\n", "line 2: part"),
        ("part,power_kw,dressed\n-1,1,0\n", "whole number"),
        ("part,power_kw,dressed\n1,1,12\n", 'line 2: dressed is "12"'),
        ("part,power_kw,dressed,trued\n1,1,1,2\n", 'line 2: trued is "2"'),
        ("part,power_kw,dressed\n1,1,0,7\n", "line 2: 4 cells under 3 names"),
        ("part,power_kw,dressed\n4,1,0\n3,1,0\n", "line 3: part 3 follows part 4"),
        ("part,power_kw,dressed\n4,1,0\n4,1,1\n", "middle of a part"),
        ("part,power_kw,dressed\n1,1\x00,0\n", "zero bytes"),
        (b"part,power_kw,dressed\n1,1,0\n2,1\xb0,0\n", "not UTF-8 (line 3)"),
        ("part,power_kw,dressed\n1,1,0\n".encode("utf-16"), "not UTF-8"),
        ('part,power_kw,dressed\n1,"' + "9" * 200_000 + '",0\n', "readable CSV"),
    ],
)
def test_what_cannot_be_used_is_said(written: Path, text: str | bytes, said: str) -> None:
    with pytest.raises(DressblockError) as caught:
        log_of(written, text)
    assert said in str(caught.value)
    assert str(caught.value).startswith(str(written))
    assert "\n" not in str(caught.value)


def test_a_share_of_an_unknown_rating_is_refused(written: Path) -> None:
    with pytest.raises(DressblockError, match="--rated"):
        log_of(written, PLAIN, scale=PowerScale("%"))


def test_no_file_and_a_folder_are_said(tmp_path: Path) -> None:
    with pytest.raises(DressblockError, match="no such file"):
        read_log(tmp_path / "none.csv")
    with pytest.raises(DressblockError, match="folder"):
        read_log(tmp_path)
