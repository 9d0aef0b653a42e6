"""Plain text in columns: aligned, wrapped in place, never too wide."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from gen.paper.columns import laid_out

WORDS = st.lists(st.text("abcxyz-.", min_size=1, max_size=30), max_size=40).map(" ".join)


def test_cells_stand_below_each_other() -> None:
    assert laid_out("a\tb\nlonger\tc\n") == "a       b\nlonger  c\n"


def test_another_count_of_cells_is_another_table() -> None:
    assert laid_out("wide head\tb\nx\ty\tz\n") == "wide head  b\nx  y  z\n"


def test_the_last_cell_wraps_in_its_own_column() -> None:
    assert laid_out("name\t" + "word " * 8, width=30).splitlines() == [
        "name  word word word word word",  # 30 characters
        "      word word word",
    ]


def test_a_marked_line_hangs_behind_its_mark() -> None:
    for mark in ("- ", "[ ] ", "12. "):
        lines = laid_out(mark + "word " * 8, width=30).splitlines()
        assert lines[0].startswith(mark + "word")
        assert lines[1].startswith(" " * len(mark) + "word")


def test_blank_lines_are_never_two() -> None:
    assert laid_out("\n\na\n\n\nb\n") == "a\n\nb\n"


@given(st.lists(st.lists(WORDS, min_size=1, max_size=4).map("\t".join), max_size=8).map("\n".join))
def test_nothing_is_too_wide_and_nothing_is_lost(text: str) -> None:
    made = laid_out(text, width=60)
    assert all(len(line) <= 60 for line in made.splitlines())
    assert sorted("".join(made.split())) == sorted("".join(text.split()))
