"""What nobody can know of a grinding program, or what it may have from before, keeps a dress out or is said."""

from __future__ import annotations

from pathlib import Path

import pytest
from hosts import Bench, Host
from test_refusals import END, START, spliced, told

from runner import invoke

HASH = Host("south-bench", "any.nc", "gash-cup")
HASH_START = "G21 G90 G94 G17 G64 G49\nG53 G0 X-250.\n"


def hashed(tmp_path: Path, before: str, after: str) -> list[tuple[str, int | None]]:
    text = f"{HASH_START}{before}(DRESS HERE)\nG53 G0 X-250.\nG0 Z50.\n{after}M30\n"
    folder = tmp_path / str(len(list(tmp_path.iterdir())))
    folder.mkdir()
    return told(spliced(folder, text, host=HASH, control="hash-variables"))


def test_a_position_that_is_read_behind_the_dress_keeps_it_out(tmp_path: Path) -> None:
    """The judge's #5420 is where X stands; a dress moves it."""
    text = f"{START}(DRESS HERE)\nG0 Z10\nG1 X[#5420+2] F100\nM2\n"
    assert ("host-unchanged", 7) in told(spliced(tmp_path, text))


READ = ["G0 X[#5001+2.]\n", "#100=#5041\nG0 X1.\n", "IF [#5001 GT 3] GOTO 9\nN9 G0 X1.\n"]


@pytest.mark.parametrize("words", READ)
def test_what_the_control_alone_knows_keeps_it_out_where_the_dress_has_changed_it(tmp_path: Path, words: str) -> None:
    """This dress leaves X and C elsewhere; once both have gone where their words say, it is as it was."""
    first = "G53 G0 X-250.\nG0 Z50.\n"
    text = f"{HASH_START}(DRESS HERE)\n{{}}M30\n"
    before = told(spliced(tmp_path / "a", text.format(words + first), host=HASH, control="hash-variables"))
    assert ("host-unchanged", 4) in before
    after = told(spliced(tmp_path / "b", text.format(f"G0 C0.\n{first}{words}"), host=HASH, control="hash-variables"))
    assert after == []


def test_a_feed_that_the_control_remembers_is_put_back(tmp_path: Path) -> None:
    assert hashed(tmp_path, "G1 X-251. F100.\nG53 G0 X-250.\n", "G0 X1. F#4109\n") == []


def test_before_the_place_it_does_not(tmp_path: Path) -> None:
    assert hashed(tmp_path, "#100=#5001\nG0 X1.\nG53 G0 X-250.\n", "G0 X2.\n") == []


def test_what_a_tool_change_leaves_keeps_it_out_until_it_is_said(tmp_path: Path) -> None:
    found = hashed(tmp_path, "M3 S2000\nT1 M6\nG53 G0 X-250.\n", "")
    assert ("host-state", 4) in found
    assert hashed(tmp_path, "M3 S2000\nT1 M6\nG53 G0 X-250.\nM5\nM9\n", "") == []


def test_where_a_tool_change_stops_the_spindle_the_dress_leaves_it_stopped(tmp_path: Path) -> None:
    """A stop with the door open follows: the spindle stands in it, as it did."""
    text = f"{START}T1 M6\nG0 X200 Z100\n(DRESS HERE)\nM0\nM3 S4000\nG4 P3\n{END}"
    job = spliced(tmp_path, text)
    assert told(job) == []
    assert job.text is not None
    restored = job.text.partition("AS IT WAS BEFORE")[2] or job.text.partition("as it was before")[2]
    assert "M3" not in restored.partition("END DRESS")[0]


@pytest.mark.parametrize(("words", "said"), [("", True), ("G49 G92.2\n", False)])
def test_a_length_and_a_shift_from_before_the_program_are_spoken_of(tmp_path: Path, words: str, said: bool) -> None:
    job = spliced(tmp_path, f"{START}{words}(DRESS HERE)\n{END}")
    told_of = [one.message for one in job.findings if "tool length and shift" in one.message]
    assert bool(told_of) is said
    assert not job.refused


def test_each_block_delete_switch_counts(tmp_path: Path) -> None:
    """With both on or both off the program is in mm at the place; with one of them it is not."""
    both = "/1 G20\n/2 G20\nG21\n"
    assert hashed(tmp_path, both, "G0 X2.\n") == []
    found = hashed(tmp_path, "/1 G91\n/2 G90\n", "G90 G0 X2.\n")
    assert "host-state" in {rule for rule, _ in found}


def test_a_comment_with_strange_line_ends_is_one_line(tmp_path: Path) -> None:
    """A form feed or a next-line character ends no line: every message keeps its line."""
    bench = Bench.of(Host("north-bench", "any.ngc", "flute-rough"), "rs274ngc", tmp_path)
    path = bench.root / "any.ngc"
    path.write_bytes(f"(A\x0cB\u0085C\u2028D)\n{START}G64 G54 G49 G92.2\n(DRESS HERE)\n{END}".encode())
    spliced_in = invoke("splice", path, bench.root / "dress" / "flute-rough.toml")
    assert spliced_in.exit_code == 0, spliced_in.output
    checked = invoke("check", path)
    assert "error" not in checked.output
    assert checked.exit_code == 0
