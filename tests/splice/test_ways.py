"""The ways through a long program, and through one that has more of them than anybody can follow."""

from __future__ import annotations

from pathlib import Path

import pytest
from test_refusals import END, START, spliced, told

from gen.base.errors import DressblockError
from gen.control.folders import load_control
from gen.control.options import Options
from gen.host.routes import Routes
from gen.jobs.splice import Asked
from gen.reader import lower


def test_numbers_that_nothing_jumps_to_part_no_way() -> None:
    """A long host numbers its lines; one that goes from top to bottom goes one way, however long it is."""
    lines = [f"N{number} G2 X{number}. Y0. I1." for number in range(10, 3000)]
    code = lower("\n".join(["G21 G90 G17 F100.", *lines, "M2", ""]), load_control("hash-variables"))
    assert len(Routes(code, -1).everywhere) <= 3
    jumping = lower("\n".join(["G21 #1=0", "N20 #1=[#1+1]", "IF [#1 LT 3] GOTO 20", "M30", ""]), code.control)
    routes = Routes(jumping, -1)
    assert any(spot[0] == jumping.labels[20][0] for spot in routes.everywhere)


def test_subprograms_that_double_at_each_level_are_an_error_that_says_so() -> None:
    levels = 20
    lines: list[str] = []
    for level in range(levels, 0, -1):
        lines += [f"o{level} sub", *([f"o{level + 1} call"] * 2 if level < levels else ["G4 P1"]), f"o{level} endsub"]
    code = lower("\n".join([*lines, "o1 call", "M2", ""]), load_control("rs274ngc"))
    with pytest.raises(DressblockError, match="more than 100000 ways"):
        _ = Routes(code, -1).everywhere


BRANCH = "O1 if [#100 EQ 1]\nG1 X20 F200\nO1 else\nG53 G0 X200\nO1 endif\n"


@pytest.mark.parametrize("back", [False, True], ids=["stays", "goes back"])
def test_a_way_that_another_program_decides_on_is_a_way_to_the_dress(tmp_path: Path, back: bool) -> None:
    """What #100 holds is from before the program: where it is 1, the wheel comes to the dress out of the work."""
    found = told(spliced(tmp_path, f"{START}{BRANCH}(DRESS HERE)\n{END}", Asked(back=back)))
    assert found == [("host-safe", 6), *([("host-path", 10)] if back else [])]
    out = f"{START}{BRANCH}G53 G0 X200\n(DRESS HERE)\n{END}"
    assert told(spliced(tmp_path / "out", out, Asked(back=back))) == []


def test_a_way_that_the_program_decides_on_itself_is_the_one_that_is_read(tmp_path: Path) -> None:
    assert told(spliced(tmp_path, f"{START}#100 = 0\n{BRANCH}(DRESS HERE)\n{END}", Asked(back=True))) == []


def test_a_count_that_goes_on_from_before_the_program_decides_otherwise_another_time(tmp_path: Path) -> None:
    """As it is set for the run that is read, the sixth part goes out; at another one the wheel comes from the work."""
    counted = BRANCH.replace("[#100 EQ 1]", "[#503 LT 6]")
    asked = Asked(options=Options(begins={503: 9.0}))
    text = f"{START}#503 = [#503+1]\n{counted}(DRESS HERE)\n{END}"
    assert told(spliced(tmp_path, text, asked)) == [("host-safe", 7)]


@pytest.mark.parametrize(
    "moves",
    ["#200 = 0\n/#200 = 1\n" + BRANCH.replace("#100", "#200").replace("G1 X20 F200", "G53 G0 X150"), "/G0 X150\n"],
)
def test_a_way_that_the_switch_for_lines_decides_on_is_none_to_go_back_on(tmp_path: Path, moves: str) -> None:
    """Where the wheel stood before the dress depends on block delete: 150 mm on one way, 200 mm on the other."""
    text = f"{START}{moves}(DRESS HERE)\n{END}"
    assert {rule for rule, _ in told(spliced(tmp_path, text, Asked(back=True)))} == {"host-path"}
    assert told(spliced(tmp_path / "stays", text)) == []
    harmless = f"{START}/G0 X170\nG0 X150 Z50\n(DRESS HERE)\n{END}"
    assert told(spliced(tmp_path / "harmless", harmless, Asked(back=True))) == []
