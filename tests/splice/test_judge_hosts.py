"""What Debian's ``rs274`` does after the dress is, call for call, what it does without it.

The source is the interpreter itself: its canonical calls are compared as it
prints them, and so is what it last said of units, plane, feed, path mode,
spindle and coolant before the program goes on. Its axes are X Y Z A B C; the
dresser's U is called Y.
"""

from __future__ import annotations

import os
import re
import subprocess
from pathlib import Path

import pytest
from hosts import HOSTS, Bench, Host

from gen.control.folders import load_control
from gen.host.place import find
from gen.jobs.splice import Asked, prepare_spliced
from outside import outside

GOES_ON = "(MSG, GOES ON)"
_SAID = re.compile(
    r"(USE_LENGTH_UNITS|SELECT_PLANE|SET_FEED_RATE|SET_FEED_MODE|SET_MOTION_CONTROL_MODE|SET_NAIVECAM_TOLERANCE"
    r"|SET_G5X_OFFSET|SET_G92_OFFSET|SET_SPINDLE_SPEED|USE_TOOL_LENGTH_OFFSET)\("
)
_SWITCHES = {
    "START_SPINDLE_CLOCKWISE": "spindle",
    "START_SPINDLE_COUNTERCLOCKWISE": "spindle",
    "STOP_SPINDLE_TURNING": "spindle",
    "FLOOD_ON": "flood",
    "FLOOD_OFF": "flood",
    "MIST_ON": "mist",
    "MIST_OFF": "mist",
    "ENABLE_FEED_OVERRIDE": "override",
    "DISABLE_FEED_OVERRIDE": "override",
}
RUNS = ("drill-flutes", "outside-relief", "step-drill-passes", "slot-form", "punch-notch")
"""Those whose words the judge has; the others jump or call in ways that are not its own."""


_ZEROS = ", ".join(["0.0000 0.0000 0.0000"] * 3)
AT_REST = {
    "spindle": "STOP_SPINDLE_TURNING",
    "flood": "FLOOD_OFF",
    "mist": "MIST_OFF",
    "override": "ENABLE_FEED_OVERRIDE",
    # a program that never said it is left with what control.toml gives as the control's own, and is told so
    "SET_MOTION_CONTROL_MODE": "SET_MOTION_CONTROL_MODE(CANON_CONTINUOUS, 0.000000)",
    "SET_NAIVECAM_TOLERANCE": "SET_NAIVECAM_TOLERANCE(0.0000)",
    "USE_TOOL_LENGTH_OFFSET": f"USE_TOOL_LENGTH_OFFSET({_ZEROS})",
}
"""What nobody has said anything about yet."""

DIAMETERS = {"flute-rough": 110.0, "flute-finish": 90.0, "outside-wide": 140.0}
"""mm. A wheel within each recipe's wear."""


def canonical(text: str, folder: Path, registers: dict[int, float]) -> list[str]:
    """The calls that the judge makes of ``text``, without their line numbers."""
    program, store = folder / "program.ngc", folder / "store.var"
    program.write_text(text)
    values = dict.fromkeys(range(5161, 5391), 0.0) | registers
    store.write_text("".join(f"{number}\t{value:.6f}\n" for number, value in sorted(values.items())))
    command = [outside("rs274"), "-v", store.name, "-g", program.name]
    # it maps a tool table into the home folder, where two judges at once would break each other
    home = {**os.environ, "HOME": str(folder)}
    ran = subprocess.run(command, cwd=folder, env=home, capture_output=True, text=True, timeout=60, check=False)
    calls = [re.sub(r"^\s*\d+ N\S*\s+", "", line).strip() for line in ran.stdout.splitlines()]
    assert any(call.startswith("PROGRAM_END") for call in calls), ran.stderr
    return [call for call in calls if not call.startswith("COMMENT")]


def parted(calls: list[str]) -> tuple[dict[str, str], list[str]]:
    """What was last said of each thing before the program goes on, and all calls from there on."""
    at = next(index for index, call in enumerate(calls) if "GOES ON" in call)
    said = dict(AT_REST)
    for call in calls[:at]:
        name = call.partition("(")[0]
        if _SAID.match(call):
            said[name] = call
        elif name in _SWITCHES:
            said[_SWITCHES[name]] = name
    return said, calls[at:]


def as_judged(text: str, axes: str) -> str:
    """``text`` with the judge's letter for the dresser's axis, and its word for a dwell."""
    pieces = re.split(r"(\([^)]*\)|<[^>]*>)", text)
    free = next((axis for axis in "YX" if axis not in axes), "")
    pieces[::2] = [re.sub(r"U(?=[-+.0-9\[#])", free or "U", piece) for piece in pieces[::2]]
    return re.sub(r"\bG4 X", "G4 P", "".join(pieces))


def without_slide(calls: list[str], axes: str) -> list[str]:
    """``calls`` without the coordinate of the dresser's own slide, which a stand-off moves on by every dress."""
    place = 0 if "Y" in axes else 1
    if "X" in axes and "Y" in axes:
        return calls

    def cut(call: str) -> str:
        name, _, values = call.partition("(")
        numbers = values.split(", ")
        return call if not name.startswith("STRAIGHT") else f"{name}({numbers[:place] + numbers[place + 1 :]}"

    return [cut(call) for call in calls]


@pytest.mark.parametrize("host", [host for host in HOSTS if str(host) in RUNS], ids=str)
def test_the_calls_after_the_dress_are_those_without_it(tmp_path: Path, host: Host) -> None:
    control = "rs274ngc" if host.file.endswith(".ngc") else "iso6983"
    bench = Bench.of(host, control, tmp_path)
    path = bench.program(host)
    text = path.read_text()
    job = prepare_spliced(path, bench.recipe(host), Asked(after=host.after, back=True))
    assert job.text is not None, job.findings
    axes = "".join(sorted(set(re.findall(r"\b([XYZABC])[-+.0-9\[#]", re.sub(r"\([^)]*\)|G4 X", "", text)))))
    with_dress = job.text.splitlines()
    with_dress.insert(job.lines.stop - 1, GOES_ON)
    place = find(text, load_control(control), job.number, host.after)
    without = text.splitlines()
    without.insert(place.after, GOES_ON)
    registers = {501: DIAMETERS.get(host.recipe, 0.0), 502: 120.0, 503: 0.0, 504: 0.0}
    first = parted(canonical(as_judged("\n".join([*without, ""]), axes), tmp_path, registers))
    second = parted(canonical(as_judged("\n".join([*with_dress, ""]), axes), tmp_path, registers))
    assert len(first[1]) > 5
    assert second[0] == first[0]
    assert without_slide(second[1], axes) == without_slide(first[1], axes)
