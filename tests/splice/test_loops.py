"""A dress in a loop, a repeat, a subprogram or a program that goes round: proven for every passage, or refused."""

from __future__ import annotations

from pathlib import Path

import pytest
from hosts import Host
from test_refusals import END, START, spliced, told

from gen.base.errors import DressblockError
from gen.control.options import Options
from gen.jobs.splice import Asked

HASH = Host("south-bench", "any.nc", "gash-cup")
MODES = "G21 G90 G94 G17 G64 G49\n"
PART = "G0 X20 Z4\nG1 X15 F200\nG0 X200 Z100\n"

GOES_ROUND = {
    "while": f"{START}O1 while [#100 LT 3]\n#100 = [#100+1]\n(DRESS HERE)\n{PART}O1 endwhile\n{END}",
    "without end": f"{START}O1 while [1]\n(DRESS HERE)\n{PART}O1 endwhile\nM2\n",
    "repeat": f"{START}O1 repeat [5]\n{PART}(DRESS HERE)\nO1 endrepeat\nG0 X200\nM2\n",
    "do": f"{START}O1 do\n{PART}(DRESS HERE)\n#100 = [#100+1]\nO1 while [#100 LT 3]\nG0 X200\nM2\n",
    "subprogram": f"O1 sub\nG0 X200\n(DRESS HERE)\n{PART}O1 endsub\n{START}O1 call\nO1 call\nM2\n",
    "subprogram in a loop": f"O1 sub\n{PART}(DRESS HERE)\nO1 endsub\n{START}O2 repeat [9]\nO1 call\nO2 endrepeat\nM2\n",
    "when it is due": f"{START}O1 while [#100 LT 9]\n#100 = [#100+1]\n#503 = [#503+1]\nO2 if [#503 GE 6]\n"
    f"G53 G0 X200\n(DRESS HERE)\nO2 endif\n{PART}O1 endwhile\nM2\n",
    "past a part that is not there": f"{START}O1 while [1]\n(DRESS HERE)\nO2 if [#100 EQ 1]\n{PART}O2 endif\n"
    "G0 X200 Z100\nO1 endwhile\nM2\n",
}


@pytest.mark.parametrize("text", GOES_ROUND.values(), ids=GOES_ROUND)
def test_a_place_that_is_passed_again_and_again_is_taken(tmp_path: Path, text: str) -> None:
    assert told(spliced(tmp_path, text, Asked(options=Options(begins={503: 9.0})))) == []


HASHED = {
    "jump back": f"{MODES}N10 #100=#100+1.\nG53 G0 X-250.\n(DRESS HERE)\nG0 X1. Z2.\nIF [#100 LT 3.] GOTO 10\nM30\n",
    "loop": f"{MODES}WHILE [#100 LT 3.] DO 1\n#100=#100+1.\nG53 G0 X-250.\n(DRESS HERE)\nG0 X1. Z2.\nEND 1\nM30\n",
    "main program that goes round": f"O100\n{MODES}M5\nM9\nG53 G0 X-250.\n(DRESS HERE)\nG0 X1. Z2.\nM99\n",
    "called L times": f"O100\n{MODES}M98 P200 L5\nM30\nO200\nG53 G0 X-250.\n(DRESS HERE)\nG0 X1. Z2.\nM99\n",
}


@pytest.mark.parametrize("text", HASHED.values(), ids=HASHED)
def test_so_it_is_with_jumps_and_numbered_programs(tmp_path: Path, text: str) -> None:
    assert told(spliced(tmp_path, text, host=HASH, control="hash-variables")) == []


@pytest.mark.parametrize("call", ["M98 P200 L5", "M98 P50200"])
def test_a_call_with_a_count_in_its_number_calls_as_often(tmp_path: Path, call: str) -> None:
    """The wheel stands, and the coolant is off, the first time only."""
    text = f"O100\n{MODES}M5\nM9\n{call}\nM30\nO200\nG53 G0 X-250.\n(DRESS HERE)\nG0 X1. Z2.\nM8\nM99\n"
    assert told(spliced(tmp_path, text, host=HASH, control="hash-variables")) == [("host-state", 11)]


LATER = {
    "distance": ("", "G91\n", "host-state", 10),
    "units on one way": ("", "O2 if [#101 EQ 1]\nG20\nO2 endif\n", "host-state", 11),
    "spindle": ("", "M5\n", "host-state", 10),
    "speed": ("", "S3000\n", "host-state", 10),
    "coolant": ("", "M8\n", "host-state", 10),
    "offset": ("", "G55\n", "host-state", 10),
    "tolerance": ("G64 P0.01\n", "G64 P0.05\n", "host-state", 11),
    "compensation": ("", "G41 D1\n", "host-state", 10),
    "a word nobody knows": ("", "G123\n", "host-place", 10),
    "a line nobody reads": ("", "#[=\n", "host-place", 10),
    "a feed before the place": ("", "G1 X100 F300\n", "host-safe", 10),
}


@pytest.mark.parametrize(("first", "words", "rule", "line"), LATER.values(), ids=LATER)
def test_what_only_a_later_passage_finds_in_force_keeps_it_out(
    tmp_path: Path, first: str, words: str, rule: str, line: int
) -> None:
    """The first passage, which is the one that is read, knows nothing of it."""
    text = f"{START}{first}O1 while [1]\n(DRESS HERE)\n{PART}{words}O1 endwhile\nM2\n"
    assert (rule, line) in told(spliced(tmp_path, text))


ONWARD = {
    "a step": ("G91 G0 X-5\n", "host-path"),
    "a step on one way": ("O2 if [#100 EQ 7]\nG91 G0 X-5\nG90\nO2 endif\n", "host-path"),
    "a feed": ("G1 X15 F200\n", "host-path"),
    "a shift": ("G92 X0\n", "host-path"),
    "its place": ("#101 = #5420\n", "host-unchanged"),
    "its place by name": ("#101 = #<_x>\n", "host-unchanged"),
    "a register of the dress": (f"{PART}G0 X[#502]\n", "host-unchanged"),
    "a register of the dress, by another": (f"{PART}#101 = [#502+1]\nG0 X#101\n", "host-unchanged"),
}


@pytest.mark.parametrize(("words", "rule"), ONWARD.values(), ids=ONWARD)
@pytest.mark.parametrize("loops", [True, False], ids=["again and again", "once"])
def test_what_depends_on_what_the_dress_left_keeps_it_out_on_any_way(
    tmp_path: Path, words: str, rule: str, loops: bool
) -> None:
    before, after = ("O1 while [1]\n", "G92.1\nO1 endwhile\n") if loops else ("", "")
    text = f"{START}{before}(DRESS HERE)\n{words}G90 G0 X20 Z4\nG0 X200 Z100\n{after}M2\n"
    assert rule in {one for one, _ in told(spliced(tmp_path, text))}


def test_a_feed_that_is_not_always_the_same_must_be_stated_behind_the_place(tmp_path: Path) -> None:
    """At the first passage it is 100, later 200; the dress can put back neither."""
    loop = (
        "G1 X150 F100\nG0 X200\nO1 while [1]\n(DRESS HERE)\nG0 X20 Z4\n{}\nG0 X200 Z100\nG1 X199 F200\nG0 X200\n"
        "O1 endwhile\nM2\n"
    )
    assert ("host-path", 10) in told(spliced(tmp_path / "a", START + loop.format("G1 X15")))
    assert told(spliced(tmp_path / "b", START + loop.format("G1 X15 F80"))) == []


def test_a_motion_code_that_is_not_always_the_same_must_be_stated_behind_the_place(tmp_path: Path) -> None:
    loop = (
        "O1 while [1]\n(DRESS HERE)\n{}X200 Z100\nG1 X199 F200\nG53 G0 X200\nO2 if [#100 EQ 1]\nG1\nO2 endif\n"
        "O1 endwhile\nM2\n"
    )
    assert ("host-path", 7) in told(spliced(tmp_path / "a", START + loop.format("")))
    assert told(spliced(tmp_path / "b", START + loop.format("G0 "))) == []


def test_the_way_back_needs_one_place_to_go_to(tmp_path: Path) -> None:
    loop = (
        "O1 while [#100 LT 3]\n#100 = [#100+1]\n{}\n(DRESS HERE)\nG91 G1 X-5 F100\nG90 G0 X200 Z100\nO1 endwhile\nM2\n"
    )
    back = Asked(back=True)
    assert ("host-path", 9) in told(
        spliced(tmp_path / "a", START + loop.format("G53 G0 X[200-#100]\nG53 G0 Z100"), back)
    )
    assert told(spliced(tmp_path / "b", START + loop.format("G53 G0 X200\nG53 G0 Z100"), back)) == []


def test_numbers_are_right_for_one_passage_only(tmp_path: Path) -> None:
    from gen.control.options import Options

    numbers = Asked(options=Options(resolve=True))
    assert ("host-once", 7) in told(spliced(tmp_path / "a", GOES_ROUND["while"], numbers))
    assert told(spliced(tmp_path / "b", f"{START}(DRESS HERE)\n{END}", numbers)) == []


def test_a_program_that_goes_round_states_what_it_begins_with(tmp_path: Path) -> None:
    """What is in force at its top is what its end left, or whatever called it."""
    text = f"O100\n{MODES}G53 G0 X-250.\n(DRESS HERE)\nM3 S2000\nG0 X1. Z2.\nM99\n"
    found = told(spliced(tmp_path / "a", text, host=HASH, control="hash-variables"))
    assert {rule for rule, _ in found} == {"host-state"}
    assert {5, 7} == {line for _, line in found}
    begun = f"O100\nM5\nM9\n{MODES}G53 G0 X-250.\n(DRESS HERE)\nM3 S2000\nG0 X1. Z2.\nM5\nM99\n"
    assert told(spliced(tmp_path / "b", begun, host=HASH, control="hash-variables")) == []


def test_an_unknown_decision_behind_the_place_is_followed_both_ways(tmp_path: Path) -> None:
    text = f"{MODES}M5\nG53 G0 X-250.\n(DRESS HERE)\nIF [#5061 GT 3.] GOTO 9\n{{}}N9 G0 X1. C0.\nM30\n"
    for words, wanted in (("G0 X2.\n", []), ("G91 G0 X2.\nG90\n", [("host-path", 6)])):
        folder = tmp_path / str(len(words))
        assert told(spliced(folder, text.format(words), host=HASH, control="hash-variables")) == wanted


def test_a_clock_keeps_it_out(tmp_path: Path) -> None:
    """#3001 counts milliseconds (common practice, no source); a dress takes some."""
    text = (
        f"{MODES}M5\nG53 G0 X-250.\n(DRESS HERE)\nG53 G0 X-250.\nG0 Y1. Z2.\nIF [#3001 GT 3.] GOTO 9\nN9 G0 X1.\nM30\n"
    )
    assert ("host-unchanged", 7) in told(spliced(tmp_path, text, host=HASH, control="hash-variables"))


def test_the_same_dress_twice_is_refused_and_a_subprogram_helps(tmp_path: Path) -> None:
    once = spliced(tmp_path / "a", f"{START}(DRESS HERE)\n{END}").text
    assert once is not None
    block = once.partition("(BEGIN DRESS")[1:]
    with pytest.raises(DressblockError, match="into a subprogram of its own"):
        spliced(tmp_path / "b", once + "".join(block))
    helped = f"O7 sub\nG0 X200\n(DRESS HERE)\nG0 X190\nO7 endsub\n{START}O7 call\n{PART}O7 call\n{PART}M2\n"
    assert told(spliced(tmp_path / "c", helped)) == []
