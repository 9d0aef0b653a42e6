"""What a dress would leave otherwise than it was, in ways that no line of the program says, is refused by its line.

The source is the interpreter ``rs274``: put in the place of the dress, the words with which one ends make it do
something else behind the place. Where the program says the word again, it takes a dress.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from hosts import Bench, Host
from test_judge_hosts import GOES_ON, canonical, parted

from gen.base.finding import Finding
from gen.jobs.check import check_program
from gen.jobs.provenance import Named
from gen.jobs.splice import Asked, prepare_spliced

HEAD = "G21 G90 G94 G17 G54 G49 G92.2\nG64 P0.01\n"
PLACE = "G53 G0 X200\nG53 G0 Z120\n(DRESS HERE)\n"
BEHIND = "G0 X30 Z5\nG1 X10 F200\nM2\n"
TOOLS = "G10 L1 P1 Z1\nG10 L1 P2 Z2\n"
STANDS_FOR = "stands for may change here"
ANOTHER = "may be another value after a dress"

CASES = {
    # before the place, behind it, the words with which a dress ends, what is said and at which line
    "dynamic length": ("G43.1 Z3\n", "", "G49", "(G43.1) and cannot be put back", 3),
    "tool table": ("G43 H1\nG10 L1 P1 Z9\n", "", "G49\nG43 H1", STANDS_FOR, 4),
    "another tool": (f"{TOOLS}T1 M6\nG43\nT2 M6\n", "", "G49\nG43", STANDS_FOR, 7),
    "shift in store": ("G92.3\n#5211=3\n", "", "G92.2\nG92.3", STANDS_FOR, 4),
    "feed": ("#1=100\nG1 X20 F[#1*2]\n", "#2=#<_feed>\nG1 X9 F[#2+1]\n", "F99", f"#<_feed>, which {ANOTHER}", 8),
    "speed": ("#1=900\nM3 S#1\nM5\n", "G0 Y[#<_rpm>/100]\n", "S99", f"#<_rpm>, which {ANOTHER}", 9),
    "input": ("M68 E0 Q1\nM66 E0 L0\n", "G0 Y[9+#5399]\n", "#5399=5", f"#5399, which {ANOTHER}", 8),
    "line": ("", "G0 Y#<_line>\n", "(A LINE)", "#<_line>, which tells lines", 6),
}
ENDINGS = ("(NOTHING)", "G54", "G59\nG54")
AGAIN = {
    "tool table": ("G43 H1\nG10 L1 P1 Z9\nG43 H1\n", ""),
    "another tool": ("T1 M6\nG43\nT2 M6\nG43\n", ""),
    "tool by its number": ("T1 M6\nG43 H1\nT2 M6\n", ""),
    "offset in store": ("#5221=3\n", ""),
    "speed": ("M3 S900\nM5\n", "G0 Y[#<_rpm>/100]\n"),
    "input": ("M66 E0 L0\n", "M66 E0 L0\nG0 Y[9+#5399]\n"),
}


def refused(
    tmp_path: Path, before: str, behind: str, *, call: bool, back: bool = True, own_offset: bool = False
) -> list[Finding]:
    host = Host("north-bench", "any.ngc", "flute-rough")
    bench = Bench.of(host, "rs274ngc", tmp_path)
    if own_offset:
        own = '[dresser]\noffset = { word = "G59", values = { U = "0 mm", X = "0 mm", Z = "0 mm" } }'
        bench.machine.write_text(bench.machine.read_text().replace("[dresser]", own))
    path = bench.root / host.file
    path.write_text(HEAD + before + PLACE + behind + BEHIND)
    job = prepare_spliced(path, bench.recipe(host), Asked(call=call, back=back))
    return [finding for finding in job.findings if finding.severity == "error"]


@pytest.mark.parametrize("call", [False, True], ids=["block", "call"])
@pytest.mark.parametrize("name", CASES)
def test_it_is_refused(tmp_path: Path, name: str, call: bool) -> None:
    before, behind, _, said, line = CASES[name]
    found = refused(tmp_path, before, behind, call=call)
    assert [one.line for one in found if said in one.message] == [line], found


@pytest.mark.parametrize("name", CASES)
def test_the_judge_goes_on_otherwise_behind_such_words(tmp_path: Path, name: str) -> None:
    before, behind, ending, _, _ = CASES[name]
    texts = [HEAD + before + PLACE + more + f"{GOES_ON}\n" + behind + BEHIND for more in ("", f"{ending}\n")]
    calls = [canonical(text, tmp_path, {}) for text in texts]
    assert parted(calls[0]) != parted(calls[1])


@pytest.mark.parametrize("name", AGAIN)
def test_said_again_it_takes_a_dress(tmp_path: Path, name: str) -> None:
    assert refused(tmp_path, *AGAIN[name], call=False) == []


def test_what_a_subprogram_handed_back_is_gone_behind_a_call(tmp_path: Path) -> None:
    before, behind = "o1 sub\no1 endsub [5]\no1 call\n", "G0 Y#<_value>\n"
    assert refused(tmp_path / "block", before, behind, call=False) == []
    (found,) = refused(tmp_path / "call", before, behind, call=True)
    assert found.line == 9
    assert "#<_value>, which may be another value" in found.message
    assert refused(tmp_path / "again", before, "o1 call\n" + behind, call=True) == []


def test_a_place_in_the_machines_coordinates_is_a_place(tmp_path: Path) -> None:
    (found,) = refused(tmp_path / "one", "", "G0 Y#<_abs_x>\n", call=False, back=False)
    assert "#<_abs_x>" in found.message
    assert refused(tmp_path / "two", "", "G0 Y#<_abs_x>\n", call=False) == []


@pytest.mark.parametrize(
    ("asked", "said"),
    [("#4109", "feed"), ("#4114", "tells lines"), ("#4003", "")],
)
def test_what_tells_the_words_in_force_on_a_control_without_a_judge(tmp_path: Path, asked: str, said: str) -> None:
    """The numbers are from memory, as the control's own file says; a group that is put back may be asked for."""
    host = Host("south-bench", "any.nc", "gash-cup")
    bench = Bench.of(host, "hash-variables", tmp_path)
    path = bench.root / host.file
    path.write_text(
        "G21 G90 G94 G17 G54 G49 G40 G80 G97\nG64\n#100=90.\nG1 X5. F[#100*2]\nG53 G0 Z200.\n"
        f"(DRESS HERE)\n#101={asked}\nG0 X#101\nG1 X10. F90.\nM30\n"
    )
    found = prepare_spliced(path, bench.recipe(host), Asked()).findings
    errors = [one for one in found if one.rule == "host-unchanged"]
    assert [one.line for one in errors] == ([7] if said else [])
    assert all(said in one.message for one in errors)


def test_an_offset_set_in_store_counts_once_a_dress_has_had_one_of_its_own(tmp_path: Path) -> None:
    """Said again where it is in force, G54 does nothing to the judge; behind G59 it takes what is in store."""
    before = HEAD + "#5221=3\n" + PLACE + f"{GOES_ON}\n"
    place = [parted(canonical(before.replace("(DRESS HERE)", ending) + BEHIND, tmp_path, {}))[0] for ending in ENDINGS]
    assert place[0] == place[1] != place[2]
    assert refused(tmp_path / "machine", "#5221=3\n", "", call=False) == []
    found = refused(tmp_path / "own", "#5221=3\n", "", call=False, own_offset=True)
    assert [one.line for one in found if STANDS_FOR in one.message] == [3], found


@pytest.mark.parametrize("written", ["G92 X5", "G52 X5", "G92.3"])
def test_a_shift_written_in_front_of_a_spliced_dress_by_hand_is_missed_behind_it(tmp_path: Path, written: str) -> None:
    """The dress suspends it, and was spliced where there was none; spliced again, it restores it."""
    host = Host("north-bench", "any.ngc", "flute-rough")
    bench = Bench.of(host, "rs274ngc", tmp_path)
    path = bench.root / host.file
    path.write_text(HEAD + PLACE + BEHIND)
    text = prepare_spliced(path, bench.recipe(host), Asked(back=True)).text
    assert text is not None
    path.write_text(text.replace("G53 G0 X200\n", f"{written}\nG53 G0 X200\n", 1))
    said = [one.message for one in check_program(path, Named(bench.machine)) if one.severity == "error"]
    assert any(one.startswith("shift is left at suspended") for one in said), said
    again = prepare_spliced(path, bench.recipe(host), Asked(back=True)).text
    assert again is not None
    path.write_text(again)
    assert [one for one in check_program(path, Named(bench.machine)) if one.severity == "error"] == []


def test_a_variable_of_the_controls_own_is_named_as_the_program_writes_it(tmp_path: Path) -> None:
    host = Host("long-slide", "broach-teeth.nc", "broach-wheel")
    bench = Bench.of(host, "r-variables", tmp_path)
    path = bench.root / host.file
    path.write_text(host.text.replace("; DRESS HERE\n", "; DRESS HERE\nR9=$AA_IM[Y]\nG0 Y=R9\n"))
    found = prepare_spliced(path, bench.recipe(host), Asked()).findings
    (said,) = [one.message for one in found if ANOTHER in one.message]
    assert said.startswith(f"this depends on $AA_IM[Y], which {ANOTHER}")
