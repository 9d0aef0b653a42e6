"""Changes that act only where no state is tried, with the digest written anew, on every control with registers.

Each was once said to be within all bounds. What a changed line does at which
state is worked out by hand beside it: the tried sticks are 38 and 150 mm, so
that neither is within 140.5 and 149.95 mm.
"""

from __future__ import annotations

import pytest

from controls.mixed import NAME
from gen.base.finding import Finding

from .bench import CONTROLS, KINDS, Bench, Change, Lines, sealed

HASHES = ("rs274ngc", "hash-variables")


def changed(bench: Bench, which: str, change: Change) -> list[Finding]:
    lines = bench.program(which).text.splitlines()
    new = change(list(lines))
    assert new != lines
    return bench.found(sealed(new), which)


def put(old: str, new: str) -> Change:
    """The first ``old`` in the code of the text replaced by ``new``."""

    def change(lines: Lines) -> Lines:
        at = next(at for at, line in enumerate(lines) if old in line and "DRESS WAS" not in line)
        return [*lines[:at], lines[at].replace(old, new, 1), *lines[at + 1 :]]

    return change


def behind(old: str, *new: str) -> Change:
    def change(lines: Lines) -> Lines:
        at = next(at for at, line in enumerate(lines) if old in line)
        return [*lines[: at + 1], *new, *lines[at + 1 :]]

    return change


TERMS = {
    "rs274ngc": put("#591 = [#502]", "#591 = [#502-[[#502 GT 140.5] AND [#502 LT 149.95]]*20]"),
    "hash-variables": put("#591=#502", "#591=#502-[[#502 GT 140.5]*[#502 LT 149.95]]*20"),
    "r-variables": put("R591=R502", "R591=R502-((R502>140.5)*(R502<149.95))*20"),
    NAME: put("R591=R502", "R591=R502-((R502 > 140.5)*(R502 < 149.95))*20"),
}


@pytest.mark.parametrize("control", CONTROLS)
def test_a_term_that_acts_between_two_tried_sticks(control: str, benches: dict[str, Bench]) -> None:
    """A stick of 145 mm is taken for 125, so that the wheel is 20 mm nearer than the program believes."""
    (found, *_) = changed(benches[control], "plain", TERMS[control])
    assert (found.rule, found.certainty) == ("all-states", "broken")
    assert "the position of U comes to" in found.message
    assert "stick length 145" in found.message


HOLES = {
    "rs274ngc": ("[#501 GE 100]", "[[#501 GE 100] OR [#501 EQ 60]]"),
    "hash-variables": ("[#501 GE 100]", "[[[#501 GE 100] OR [#501 EQ 60]] GT 0]"),
    "r-variables": ("R501>=100", "((R501>=100) OR (R501==60))==1"),
    NAME: ("(R501 >= 100)", "(((R501 >= 100)+(R501 = 60)) > 0)"),
}


@pytest.mark.parametrize("control", CONTROLS)
def test_a_guard_with_a_hole(control: str, benches: dict[str, Bench]) -> None:
    """A wheel of 60 mm passes the guard that lets nothing below 100 through."""
    bench = benches[control]
    (found,) = changed(bench, "plain", put(*HOLES[control]))
    assert (found.rule, found.certainty) == ("all-states", "broken")
    assert "wheel diameter 60" in found.message
    lines = bench.plain.text.splitlines()
    assert found.line == next(at for at, line in enumerate(lines, 1) if HOLES[control][0] in line)
    assert "goes on to move" in found.message


@pytest.mark.parametrize("control", CONTROLS)
def test_a_length_less_the_count_of_parts(control: str, benches: dict[str, Bench]) -> None:
    """Wear per part seems a natural edit; the count once read 0 wherever a program was tried."""
    sign, left, right = ("#", "[", "]") if control in HASHES else ("R", "(", ")")
    old = f"{sign}591 = [{sign}502]" if control == "rs274ngc" else f"{sign}591={sign}502"
    new = (
        f"{sign}591 = [{sign}502-{sign}503]" if control == "rs274ngc" else f"{sign}591={sign}502-{left}{sign}503{right}"
    )
    assert changed(benches[control], "plain", put(old, new))


@pytest.mark.parametrize("control", CONTROLS)
def test_a_flag_that_is_hardly_set(control: str, benches: dict[str, Bench]) -> None:
    """0.00001 counts as 0 where comparisons let so much pass, and an interrupted dress would not be noticed."""
    old = {"rs274ngc": "#504 = [1]", "hash-variables": "#504=1"}.get(control, "R504=1")
    assert changed(benches[control], "plain", put(old, old.replace("1", "0.00001")))


@pytest.mark.parametrize("control", CONTROLS)
def test_a_store_behind_the_end_mark(control: str, benches: dict[str, Bench]) -> None:
    """A subprogram of ours has no place for it either: the next dress would start 20 mm too near."""
    store = {"rs274ngc": "#502 = [130]", "hash-variables": "#502=130"}.get(control, "R502=130")
    assert changed(benches[control], "rich", behind("END DRESS", store))


@pytest.mark.parametrize("control", CONTROLS)
def test_a_move_between_the_end_mark_and_the_return(control: str, benches: dict[str, Bench]) -> None:
    move = {"rs274ngc": "G53 G0 U60", "hash-variables": "G53 G0 U60.", "r-variables": "SUPA G0 U60"}
    assert changed(benches[control], "rich", behind("END DRESS", move.get(control, "MACHINE G0 U60000")))


RETURNS = {"hash-variables": ("M30", "M99"), "r-variables": ("M30", "M17"), NAME: ("M2", "M97")}


@pytest.mark.parametrize("control", RETURNS)
def test_a_return_in_place_of_the_end(control: str, benches: dict[str, Bench]) -> None:
    """A main program that returns begins again, and dresses for ever."""
    old, new = RETURNS[control]

    def change(lines: Lines) -> Lines:
        at = max(at for at, line in enumerate(lines) if line.split()[-1:] == [old])
        return [*lines[:at], lines[at].replace(old, new), *lines[at + 1 :]]

    assert changed(benches[control], "plain", change)


def test_a_wait_without_its_point(benches: dict[str, Bench]) -> None:
    """Where a point is always wanted, ``X3`` may be three thousandths of a second: the wheel is not at speed."""
    assert changed(benches["hash-variables"], "plain", put("G4 X3.", "G4 X3"))
    assert changed(benches[NAME], "plain", put("G7 H300", "G7 H300."))


@pytest.mark.parametrize("control", CONTROLS)
def test_two_lines_on_two_block_delete_switches(control: str, benches: dict[str, Bench]) -> None:
    """With both lines in or both out nothing is wrong; with the second switch alone the stick stays in the wheel."""
    frame, point = {"rs274ngc": ("G53", ""), "hash-variables": ("G53", "."), "r-variables": ("SUPA", "")}.get(
        control, ("MACHINE", "")
    )

    def change(lines: Lines) -> Lines:
        at = max(at for at, line in enumerate(lines) if "G1 U" in line)
        plunge, retract = (line.partition(" ")[2] if line.startswith("N") else line for line in lines[at : at + 2])
        assert retract == f"{frame} G0 U0{point}"
        return [*lines[:at], f"/1 {plunge}", f"/2 {retract}", *lines[at + 2 :]]

    assert changed(benches[control], "plain", change)


@pytest.mark.parametrize("control", CONTROLS)
def test_a_lost_mark_hides_nothing(control: str, benches: dict[str, Bench]) -> None:
    """Without its marks there is no digest to write anew; the heading still says what the text is."""
    lines = [line for line in benches[control].plain.text.splitlines() if "BEGIN DRESS" not in line]
    assert {one.rule for one in benches[control].found(TERMS[control](lines), "plain")} == {"all-states"}


@pytest.mark.parametrize("control", CONTROLS)
def test_numbers_too_large_to_cancel(control: str, benches: dict[str, Bench]) -> None:
    """In exact fractions x + 10¹⁷ - 10¹⁷ is x; on a control it is not."""
    sign, left, right = ("#", "[", "]") if control in HASHES else ("R", "(", ")")
    old = f"{sign}591 = [{sign}502]" if control == "rs274ngc" else f"{sign}591={sign}502"
    large = "100000000000000000"
    value = f"{left}{sign}502+{large}{right}-{large}"
    new = f"{sign}591 = [{value}]" if control == "rs274ngc" else f"{sign}591={value}"
    found = changed(benches[control], "plain", put(old, new))
    assert found


WRITES = {"rs274ngc": "#503 = [3]", "hash-variables": "#503=3", "r-variables": "R503=3", NAME: "R503=3"}


@pytest.mark.parametrize("control", CONTROLS)
def test_a_register_written_by_a_program_in_numbers(control: str, benches: dict[str, Bench]) -> None:
    # the count of parts is the grinding program's, and is 3 behind this one
    def change(lines: Lines) -> Lines:
        at = next(at for at, line in enumerate(lines) if "1 OF 1" in line.upper())
        return [*lines[:at], WRITES[control], *lines[at:]]

    assert changed(benches[control], "numbers", change) != []


@pytest.mark.parametrize("control", CONTROLS)
@pytest.mark.parametrize("which", KINDS)
def test_what_was_generated_is_right_at_every_state(control: str, which: str, benches: dict[str, Bench]) -> None:
    assert benches[control].found(benches[control].program(which).text.splitlines(), which) == []
