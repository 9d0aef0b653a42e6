"""The neutral steps of programs that nobody here wrote."""

from __future__ import annotations

from pathlib import Path

from .conftest import Command


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
