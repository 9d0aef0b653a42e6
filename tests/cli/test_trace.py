"""The neutral steps of programs that nobody here wrote."""

from __future__ import annotations

from pathlib import Path

import pytest

from runner import Command, Shop


def test_the_keys_that_stay(command: Command, tmp_path: Path) -> None:
    program = tmp_path / "some.ngc"
    program.write_text(
        "G21 G90 G94 G17\nG0 X10\nG1 X20 F300\nM3 S1500\nG4 P2\nM8\nM9\nM5\n#502 = [#501 * 2]\n(MSG, stop here)\nM2\n"
    )
    outcome = command("trace", program, "--control", "rs274ngc", "--set", "501=21", "--json")
    assert outcome.code == 0
    steps = outcome.document["steps"]
    assert [step["op"] for step in steps] == [
        "rapid", "feed", "spindle", "dwell", "coolant", "coolant", "spindle", "write", "refuse", "end",
    ]  # fmt: skip
    rapid, feed, spindle, dwell, on, off, stopped, write, refuse, end = steps
    assert rapid["to"] == {"X": 10}
    assert (feed["to"], feed["rate"], feed["line"]) == ({"X": 20}, 300, 3)
    assert (spindle["rpm"], spindle["direction"]) == (1500, "cw")
    assert dwell["seconds"] == 2
    assert (on["on"], off["on"]) == (True, False)
    assert stopped["direction"] == "off"
    assert (write["register"], write["value"]) == (502, 42)
    assert refuse["message"] == "stop here"
    assert end["line"] == 11


def test_what_is_not_understood_is_named(command: Command, tmp_path: Path) -> None:
    program = tmp_path / "odd.nc"
    program.write_text("G0 X1\nQ17\nG0 X2\n")
    outcome = command("trace", program, "--control", "iso6983")
    assert outcome.code == 1
    assert f"{program}:2" in outcome.err


def test_an_unknown_control_lists_those_there_are(command: Command, tmp_path: Path) -> None:
    program = tmp_path / "some.nc"
    program.write_text("G0 X1\n")
    outcome = command("trace", program, "--control", "rs274")
    assert outcome.code == 2
    assert "rs274ngc" in outcome.err


def test_what_is_known_and_not_worked_out_is_said(command: Command, tmp_path: Path) -> None:
    program = tmp_path / "some.ngc"
    program.write_text("G21 G90 G94 G17\nG0 X0 Y0 Z5\nG81 X1 Z-1 R2 F100\nX2\nG80\nG0 X#5400 Y1\nS[#5400] M3\nM2\n")
    outcome = command("trace", program, "--control", "rs274ngc", "--json")
    assert outcome.code == 0
    said = [(one["line"], one["until"], one["why"]) for one in outcome.document["unmodelled"]]
    assert (3, 5, "G81 (cycle)") in said
    assert (6, 6, "X depends on #5400, which is not known") in said
    assert "X" not in outcome.document["steps"][-3]["to"]
    assert outcome.document["steps"][-2] == {"line": 7, "op": "spindle", "rpm": None, "direction": "cw"}
    plain = command("trace", program, "--control", "rs274ngc")
    assert f"{program}:3: not worked out up to line 5: G81 (cycle)" in plain.err
    assert "spindle  cw (not known)" in plain.out


def test_an_arc_says_how_it_goes_round(command: Command, tmp_path: Path) -> None:
    """Centre and turns by hand: from (10, 0) about (0, 0) to (0, 10) counter-clockwise is a quarter."""
    program = tmp_path / "arc.ngc"
    program.write_text("G21 G90 G94 G17 F100\nG0 X10 Y0\nG3 X0 Y10 I-10 J0\nG2 I5 P2\nM2\n")
    arcs = command("trace", program, "--control", "rs274ngc", "--json").document["steps"][1:3]
    assert [(arc["direction"], round(arc["turns"], 9)) for arc in arcs] == [("ccw", 0.25), ("cw", 2)]
    assert [{axis: round(at, 9) for axis, at in arc["centre"].items()} for arc in arcs] == [
        {"X": 0, "Y": 0}, {"X": 5, "Y": 10},
    ]  # fmt: skip
    assert "ccw 0.25 turns about X 0 Y 0" in command("trace", program, "--control", "rs274ngc").out


def test_a_machine_file_names_the_control_and_vouches_for_words(command: Command, shop: Shop) -> None:
    program = shop.root / "some.ngc"
    program.write_text("G21 G90\nG0 X10\nM123 P2\nM2\n")
    outcome = command("trace", program, "--machine", shop.machine, "--json")
    assert outcome.code == 0
    assert [entry["line"] for entry in outcome.document["unmodelled"]] == [3]
    with shop.machine.open("a") as file:
        file.write('\n[host]\nknown = ["M123"]\n')
    vouched = command("trace", program, "--machine", shop.machine, "--json").document
    assert vouched["unmodelled"] == []
    assert [step["op"] for step in vouched["steps"]] == ["rapid", "aux", "end"]
    shop.change(shop.machine, '"M123"', '"M5"')
    wrong = command("trace", program, "--machine", shop.machine)
    assert wrong.code == 2
    assert f"{shop.machine}: host.known: " in wrong.err
    for words in ((), ("--machine", shop.machine, "--control", "rs274ngc")):
        assert command("trace", program, *words).code == 2


@pytest.mark.parametrize("name", ["#<_rate>", "<_Rate>", "_rate"])
def test_a_variable_with_a_name_is_set_as_the_program_writes_it(command: Command, tmp_path: Path, name: str) -> None:
    # RS274/NGC reads the names of parameters in any case
    program = tmp_path / "named.ngc"
    program.write_text("G1 X#<_rate> F100\nM2\n", "utf-8")
    found = command("trace", program, "--control", "rs274ngc", "--set", f"{name}=5", "--json")
    assert found.document["steps"][0]["to"] == {"X": 5.0}
