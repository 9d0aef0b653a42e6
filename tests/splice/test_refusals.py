"""What stands against a dress at a place is said, with its line and what would help, and nothing is written."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from hosts import HOSTS, Bench, Host

from gen.base.errors import DressblockError
from gen.base.places import data_folder
from gen.control.options import Options
from gen.jobs.splice import Asked, Spliced, prepare_spliced, write_spliced

HOST = Host("north-bench", "any.ngc", "flute-rough")
START = "G21 G90 G94 G17\nM3 S4000\nG4 P3\nG0 X200 Z100\n"
END = "G0 X20\nZ10\nG1 X15 F200\nM2\n"


def spliced(tmp_path: Path, text: str, asked: Asked | None = None, host: Host = HOST, control: str = "") -> Spliced:
    bench = Bench.of(host, control or "rs274ngc", tmp_path)
    path = bench.root / host.file
    path.write_bytes(text.encode())
    job = write_spliced(prepare_spliced(path, bench.recipe(host), asked or Asked()), path)
    if job.refused:
        assert path.read_bytes() == text.encode()
    return job


def told(job: Spliced) -> list[tuple[str, int | None]]:
    return [(finding.rule, finding.line) for finding in job.findings if finding.severity == "error"]


def test_the_plain_program_is_accepted(tmp_path: Path) -> None:
    assert told(spliced(tmp_path, START + "(DRESS HERE)\n" + END)) == []


STATES = {
    "compensation": "G41 D1",
    "canned cycle": "G81 X1 Z1 R2 F100",
    "inverse time": "G93",
    "per revolution": "G95",
    "surface speed": "G96 S20",
    "diameter": "G7",
}


@pytest.mark.parametrize("words", STATES.values(), ids=STATES)
def test_what_cannot_be_put_back_is_refused_at_its_line(tmp_path: Path, words: str) -> None:
    assert ("host-state", 5) in told(spliced(tmp_path, f"{START}{words}\n(DRESS HERE)\n{END}"))


BESIDE = {
    "tolerance from a variable": "#100 = 0.01\nG64 P#100",
    "tolerance worked out": "G17\nG64 P[0.01]",
    "second tolerance worked out": "G17\nG64 P0.01 Q[0.01]",
    "tolerance in inch": "G20\nG64 P0.001\nG21",
    "tool length from a variable": "#100 = 1\nG43 H#100",
}


@pytest.mark.parametrize("words", BESIDE.values(), ids=BESIDE)
def test_a_word_that_cannot_be_written_again_as_it_is_is_refused_at_its_line(tmp_path: Path, words: str) -> None:
    """G64 alone lets an axis cut corners as far as its speed asks, and P counts in the units in force (rs274)."""
    assert told(spliced(tmp_path, f"{START}{words}\n(DRESS HERE)\n{END}")) == [("host-state", 6)]


@pytest.mark.parametrize("words", ["G64 P0.01 Q0.02", "G21 G64 P0.01", "G20\nG64 P0.001\nG21 G64 P.02"])
def test_a_tolerance_in_numbers_is_put_back(tmp_path: Path, words: str) -> None:
    assert told(spliced(tmp_path, f"{START}{words}\n(DRESS HERE)\n{END}")) == []


DECIDED = {
    "a branch not taken": ("O1 if [#100 GT 1]\nG61\nO1 endif", 7),
    "a branch taken": ("O1 if [#100 LT 1]\nG61\nO1 endif", 7),
    "one of two": ("O1 if [#100 GT 1]\nG20\nO1 else\nG21\nO1 endif", 9),
    "another offset": ("O1 if [#100 GT 1]\nG55\nO1 endif", 7),
    "a shift": ("G92.1\nO1 if [#100 GT 1]\nG92 Y3\nO1 endif", 8),
    "a shift by another word": ("G92.1\nO1 if [#100 GT 1]\nG52 Y3\nO1 endif", 8),
    "a shift that is suspended or not": ("G92 Y3\nO1 if [#100 GT 1]\nG92.2\nO1 endif", 8),
    "shifts of two sizes": ("G92.1\nO1 if [#100 GT 1]\nG92 Y3\nO1 else\nG92 Y4\nO1 endif", None),
    "a loop left otherwise": ("O1 while [#100 LT 1]\n#100 = [#100+1]\nG91\nG0 X1\nO1 endwhile\nG90", None),
    "a loop that ends as it begins": (
        "O1 while [#100 LT 1]\n#100 = [#100+1]\nG91\nG0 X1\nG90\nO1 endwhile",
        None,
    ),
    "both alike": ("G20\nO1 if [#100 GT 1]\nG21\nO1 else\nG21\nO1 endif", None),
    "said again": ("O1 if [#100 GT 1]\nG20\nO1 endif\nG21", None),
    "a subprogram's own": ("O1 sub\nG91\nG0 X1\nG90\nO1 endsub\nO1 call", None),
}


@pytest.mark.parametrize(("words", "line"), DECIDED.values(), ids=DECIDED)
def test_a_mode_that_depends_on_a_decision_is_refused_where_it_is_set(
    tmp_path: Path, words: str, line: int | None
) -> None:
    """The block puts back the mode of the run that was read; on the other way the program had another."""
    found = told(spliced(tmp_path, f"{START}G64 G54\n{words}\nG53 G0 X200\n(DRESS HERE)\n{END}"))
    assert found == ([] if line is None else [("host-state", line)])


def test_a_mode_behind_a_jump_to_a_number_is_refused(tmp_path: Path) -> None:
    host = Host("south-bench", "any.nc", "gash-cup")
    text = (
        "G21 G90 G94 G17 G64\nG53 G0 X-250.\nIF [#100 EQ 7] GOTO 50\nG20\nN50\nG53 G0 X-250.\n(DRESS HERE)\n"
        "G0 X1.\nM30\n"
    )
    assert told(spliced(tmp_path, text, host=host, control="hash-variables")) == [("host-state", 4)]


@pytest.mark.parametrize(
    ("words", "behind", "line"),
    [
        ("IF R5<3 GOTOF AGAIN\nTRANS Y5\nAGAIN:", "", 4),
        ("AGAIN:", "ATRANS Y5\nR1=R1+1\nIF R1<3 GOTOB AGAIN\nTRANS\n", 8),
    ],
    ids=["on one way to it", "behind it in a loop"],
)
def test_a_frame_that_is_not_the_same_every_time_is_refused(tmp_path: Path, words: str, behind: str, line: int) -> None:
    host = Host("long-slide", "any.mpf", "broach-wheel")
    text = (
        f"G710 G90 G94 G17 G54 D0 G64 G40\nTRANS\n{words}\nM3 S1800\nSUPA G0 Y380\n; DRESS HERE\nG0 Y260\n{behind}M30\n"
    )
    assert ("host-state", line) in told(spliced(tmp_path, text, host=host, control="r-variables"))


OWN = {
    "the offset itself": ("G59\nG54", 3),
    "on one way only": ("IF [#100 LT 2] GOTO 9\nG59\nG54\nN9", 4),
    "its values": ("IF [#100 LT 2] GOTO 9\nG10 L2 P6 W5.\nN9", 4),
    "values of all": ("IF [#100 LT 2] GOTO 9\nG10 L2 P0 W5.\nN9", 4),
    "values of one that is worked out": ("#101=6\nG10 L2 P#101 W5.", 4),
    "a variable of it": ("IF [#100 LT 2] GOTO 9\n#5325=5\nN9", 4),
    "a variable that is worked out": ("#101=133\n#[#101]=5", 4),
    "a shift": ("G52 W-5.", 3),
    "a shift on one way only": ("IF [#100 LT 2] GOTO 9\nG52 W-5.\nN9", 4),
    "a shift taken back along another axis": ("G52 W-5.\nG52 X0", 3),
    "a shift to what is shown": ("G92 X5.", 3),
    "a shift taken back": ("IF [#100 LT 2] GOTO 9\nG52 W-5.\nN9\nG52 W0", None),
    "another offset": ("IF [#100 LT 2] GOTO 9\nG10 L2 P1 W5.\nN9", None),
    "tool table": ("G10 L10 P6 R1.", None),
}


@pytest.mark.parametrize(("words", "line"), OWN.values(), ids=OWN)
def test_no_line_moves_what_the_dressers_own_offset_counts_from(tmp_path: Path, words: str, line: int | None) -> None:
    """One moved on a way that the run does not take would have the dress plunge that much too deep."""
    host = Host("south-bench", "any.nc", "gash-cup")
    bench = Bench.of(host, "hash-variables", tmp_path)
    own = '[dresser]\noffset = { word = "G59", values = { W = "0 mm" } }'
    described = bench.machine.read_text().replace("machine_frame_feeds = true\n", "").replace("[dresser]", own)
    bench.machine.write_text(described)
    path = bench.root / host.file
    path.write_text(
        f"G21 G90 G94 G17 G40 G49 G80 G50 G69 G54 G64\nM4 S3000\n{words}\nG53 G0 X-250.\n(DRESS HERE)\n"
        "G90 G54 G0 X-100. C0. W5.\nG1 X-80. F50.\nG0 X-200.\nM30\n"
    )
    found = told(prepare_spliced(path, bench.recipe(host), Asked()))
    assert (found == []) if line is None else (("host-state", line) in found)


@pytest.mark.parametrize(
    ("words", "held"),
    [("G0 Y=IC(5)", True), ("POS[Y]=200", True), ("$P_UIFR[5,Y,TR]=3", False), ("G505\nG54", False)],
)
def test_behind_the_dress_only_what_moves_its_own_offset_counts(tmp_path: Path, words: str, held: bool) -> None:
    """Values of an offset stay for the next part; a move that says itself how it counts leaves them alone."""
    host = Host("long-slide", "any.mpf", "broach-wheel")
    bench = Bench.of(host, "r-variables", tmp_path)
    own = '[dresser]\noffset = { word = "G505", values = { W = "0 mm" } }'
    described = bench.machine.read_text().replace("machine_frame_feeds = true\n", "").replace("[dresser]", own, 1)
    bench.machine.write_text(described)
    path = bench.root / host.file
    path.write_text(
        "G710 G90 G94 G17 G54 D0 G64 G40\nTRANS\nM3 S1800\nSUPA G0 Y380\nSUPA G0 W0\nSUPA G0 Z250\n; DRESS HERE\n"
        f"G0 Z150 Y380\n{words}\nG0 Y260\nM30\n"
    )
    found = prepare_spliced(path, bench.recipe(host), Asked(back=True)).findings
    assert held == (not any("kept" in one.message or "keeps" in one.message for one in found if one.line == 9))


@pytest.mark.parametrize("words", ["G51 P2.", "G68 R30."], ids=["scaling", "rotation"])
def test_what_bends_coordinates_is_refused(tmp_path: Path, words: str) -> None:
    host = Host("south-bench", "any.nc", "gash-cup")
    text = f"G21 G90 G94 G17\nG53 G0 X-250.\n{words}\n(DRESS HERE)\nG0 X1.\nM30\n"
    assert told(spliced(tmp_path, text, host=host, control="hash-variables"))


@pytest.mark.parametrize(
    "text",
    [
        f"{START}M2\n(DRESS HERE)\n",
        f"{START}O1 if [1 EQ 2]\n(DRESS HERE)\nO1 endif\n{END}",
        f"{START}G123\n(DRESS HERE)\n{END}",
    ],
    ids=["behind the end", "never reached", "not understood"],
)
def test_a_place_that_no_run_is_known_to_reach_is_refused(tmp_path: Path, text: str) -> None:
    assert {rule for rule, _ in told(spliced(tmp_path, text))} == {"host-place"}


def test_a_jump_past_the_dress_is_proven_like_the_run_that_reaches_it(tmp_path: Path) -> None:
    text = f"{START}O1 if [#503 GE 6]\n(DRESS HERE)\nO1 endif\n{END}"
    job = spliced(tmp_path, text, Asked(options=Options(begins={503: 6.0})))
    assert told(job) == []
    assert "host-place" not in {finding.rule for finding in job.findings}


def test_variables_of_the_program_are_not_taken(tmp_path: Path) -> None:
    text = f"{START}#594 = 2\nG0 X200\n(DRESS HERE)\n{END}"
    assert told(spliced(tmp_path, text)) == [("host-clash", 5)]


def test_the_number_of_a_dress_that_is_called_is_not_the_programs_own(tmp_path: Path) -> None:
    text = f"{START}O7101 if [#1 EQ 0]\n#2 = 1\nO7101 endif\nG0 X200\n(DRESS HERE)\n{END}"
    assert ("host-clash", 5) in told(spliced(tmp_path, text, Asked(call=True)))


def test_labels_that_the_program_has_are_left_to_it(tmp_path: Path) -> None:
    text = f"{START}O9000 if [#1 EQ 0]\n#2 = 1\nO9000 endif\nG0 X200\n(DRESS HERE)\n{END}"
    job = spliced(tmp_path / "a", text)
    assert told(job) == []
    assert job.text is not None
    assert job.text.count("O9000 ") == 2
    assert "O9002 if" in job.text


def test_lines_that_jumps_lead_to_are_left_to_the_program(tmp_path: Path) -> None:
    host = Host("south-bench", "any.nc", "gash-cup")
    text = (
        "G21 G90 G94 G17\nM5\nM9\nG64\nG49\nG53 G0 X-250.\nN8800 G0 Y1.\nG53 G0 X-250.\n(DRESS HERE)\nG0 X1. Y1.\nM30\n"
    )
    job = spliced(tmp_path, text, host=host, control="hash-variables")
    assert job.text is not None, told(job)
    assert job.text.count("N8800") == 1
    assert "N8802\n" in job.text


def test_a_range_of_labels_that_the_program_uses_up_is_refused(tmp_path: Path) -> None:
    used = "".join(f"O{9000 + 2 * one} if [#1 EQ 0]\nO{9000 + 2 * one} endif\n" for one in range(50))
    with pytest.raises(DressblockError, match="two for each condition, and 0 of the range are free; widen it by 10"):
        spliced(tmp_path, f"{START}{used}G0 X200\n(DRESS HERE)\n{END}")


def test_the_last_move_before_must_go_out(tmp_path: Path) -> None:
    text = f"{START}G1 X100 F200\n(DRESS HERE)\n{END}"
    assert told(spliced(tmp_path, text)) == [("host-safe", 5)]


@pytest.mark.parametrize(
    ("words", "held"), [("G53 G0 X180", True), ("G53 G0 X179", False), ("G0 X180", False)], ids=["at", "off", "unknown"]
)
def test_a_declared_safe_position_is_asked_for(tmp_path: Path, words: str, held: bool) -> None:
    bench = Bench.of(HOST, "rs274ngc", tmp_path)
    bench.machine.write_text(bench.machine.read_text() + '\n[host]\nsafe = { X = "180 mm" }\n')
    path = bench.root / "any.ngc"
    path.write_text(f"{START}{words}\n(DRESS HERE)\n{END}")
    found = told(prepare_spliced(path, bench.recipe(HOST), Asked()))
    assert found == ([] if held else [("host-safe", 6)])


@pytest.mark.parametrize("move", ["G1 X15 F200", "G91 G0 X-5"], ids=["feed", "step"])
def test_a_first_move_that_could_touch_is_refused_and_the_way_back_helps(tmp_path: Path, move: str) -> None:
    text = f"{START}(DRESS HERE)\n{move}\nG90 G0 X200\nM2\n"
    job = spliced(tmp_path / "on", text)
    assert told(job) == [("host-path", 6)]
    assert told(spliced(tmp_path / "back", text, Asked(back=True))) == []


def test_a_way_back_to_nowhere_is_refused(tmp_path: Path) -> None:
    text = f"G21 G90 G94 G17\nG0 Z100\nG54 G0 X200\nG55\n(DRESS HERE)\n{END}"
    (finding,) = [one for one in spliced(tmp_path, text, Asked(back=True)).findings if one.severity == "error"]
    assert finding.rule == "host-path"
    assert "X and Z" in finding.message or "Z and X" in finding.message


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (START + END, "there is no comment DRESS HERE"),
        (f"{START}(DRESS HERE)\nG0 X1\n(DRESS HERE)\n{END}", "more than one"),
    ],
    ids=["none", "two"],
)
def test_a_program_without_one_place_is_unusable(tmp_path: Path, text: str, said: str) -> None:
    with pytest.raises(DressblockError, match=said):
        spliced(tmp_path, text)


def test_lines_that_are_not_understood_are_told_once_with_their_number(tmp_path: Path) -> None:
    job = spliced(tmp_path, f"{START}(DRESS HERE)\n" + "FROB\n" * 30 + END)
    assert ("host-path", 6) in told(job)
    (unread,) = (one for one in job.findings if one.rule == "unread")
    assert unread.message.endswith("So on 30 lines: 6, 7, 8, 9, 10 and 25 more.")


def test_what_depends_on_the_block_delete_switch_is_refused(tmp_path: Path) -> None:
    job = spliced(tmp_path, f"{START}/ G91\nG0 X1\n(DRESS HERE)\nG90\n{END}")
    assert ("host-state", 5) in told(job)


def test_modes_that_were_never_stated_are_named(tmp_path: Path) -> None:
    job = spliced(tmp_path, f"G0 X200 Z100\n(DRESS HERE)\n{END}")
    assert told(job) == []
    assert any(one.rule == "host-state" and "G21 G90 G94 G17 G64" in one.message for one in job.findings)


def test_modes_that_this_shop_has_otherwise_must_be_stated(tmp_path: Path) -> None:
    bench = Bench.of(HOST, "rs274ngc", tmp_path)
    bench.machine.write_text(bench.machine.read_text() + '\n[host]\nmodes = ["G20", "G90", "G94", "G17"]\n')
    path = bench.root / "any.ngc"
    path.write_text(f"G0 X8 Z4\n(DRESS HERE)\n{END}")
    assert told(prepare_spliced(path, bench.recipe(HOST), Asked())) == [("host-state", None)]


def test_a_shop_template_that_changes_the_path_mode_is_caught(tmp_path: Path) -> None:
    """A control of the shop's own, whose words say G61 with every wait."""
    bench = Bench.of(HOST, "rs274ngc", tmp_path)
    own = tmp_path / "controls" / "own"
    shutil.copytree(data_folder("templates") / "controls" / "rs274ngc", own)
    shutil.copy(data_folder("templates") / "controls" / "common.j2", own / "common.j2")
    with (own / "words.j2").open("a") as words:
        words.write("\n{% macro turn(code, speed) %}G61 {{ code }} S{{ speed }}{% endmacro %}\n")
    text = bench.machine.read_text().replace('control = "rs274ngc"', 'control = "own"')
    bench.machine.write_text(text)
    path = bench.root / "any.ngc"
    path.write_text(f"{START}G64 P0.01\n(DRESS HERE)\n{END}")
    job = prepare_spliced(path, bench.recipe(HOST), Asked(options=Options(control_folders=(tmp_path / "controls",))))
    assert [rule for rule, _ in told(job)] == ["frame"]


def test_nothing_but_the_dress_moves_a_stick_that_works_from_a_stand_off(tmp_path: Path) -> None:
    host = next(one for one in HOSTS if one.machine == "shuttle")
    bench = Bench.of(host, "iso6983", tmp_path)
    program = bench.program(host)
    lines = program.read_text().splitlines(keepends=True)
    at = next(number for number, line in enumerate(lines) if line.startswith("G0 Z20."))
    program.write_text("".join([*lines[:at], "G0 U5.\n", *lines[at:]]))
    found = [finding for finding in bench.spliced(host).findings if finding.rule == "host-safe"]
    assert [(finding.line, finding.severity) for finding in found] == [(at + 1, "error")]
    assert "moves U" in found[0].message
