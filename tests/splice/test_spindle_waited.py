"""A block waits for the spindle unless the program has, on every way to the place: then it costs plunge and travel.

Whether the wheel had its time is read off the calls of Debian's ``rs274``, at every passage. The recipe states
3056 rpm, the north bench's spindle turns clockwise (M3) and its ``spin_up`` is 3 s.
"""

from __future__ import annotations

import json
import random
import re
from pathlib import Path

import pytest
from hosts import Bench
from test_judge_hosts import as_judged, canonical
from test_refusals import HOST, told

from gen.cli import main
from gen.jobs.splice import Asked, Spliced, prepare_spliced
from runner import runner

MODES = "G21 G90 G94 G17 G54 G49 G92.2\nG64 P0.01\nM8\nG0 X200 Z100\n"
OUT = "G53 G0 X200\nG53 G0 Z100\n"
PART = f"G0 X20 Z4\nG1 X15 F200\n{OUT}"


def put_in(root: Path, lines: str, *, back: bool = True) -> tuple[Bench, Path, Spliced]:
    """The dress in a program of ``lines``."""
    bench = Bench.of(HOST, "rs274ngc", root)
    recipe = bench.recipe(HOST)
    recipe.write_text(recipe.read_text().replace('wheel_speed = "20 m/s"', 'speed = "3056 rpm"'))
    path = bench.root / HOST.file
    path.write_text(f"{MODES}{lines}M2\n")
    return bench, path, prepare_spliced(path, recipe, Asked(back=back))


def waits(job: Spliced) -> int:
    """How often the dress waits for the spindle."""
    assert job.text is not None, job.findings
    lines = job.text.splitlines()
    return sum(lines[line - 1].startswith("G4 P3 ") for line in job.lines)


LOOP = f"O1 repeat [3]\n{PART}(DRESS HERE)\nO1 endrepeat\n"
WAITED = {
    "before the loop": f"M3 S3056\nG4 P3\n{LOOP}",
    "in pieces": f"M3 S3056\nG4 P1\nG0 X30\nG4 P2\n{LOOP}",
    "each time": f"O1 repeat [3]\nM3 S3056\nG4 P3\n{PART}(DRESS HERE)\nO1 endrepeat\n",
    "on one way by the dress itself": f"M3 S3056\nG4 P3\nO1 repeat [3]\n{OUT}(DRESS HERE)\n{PART}O1 endrepeat\n",
    "on both ways": f"O2 if [#<_x> GT 1]\nM3 S3056\nG4 P3\nO2 else\nS3056 M3\nG4 P4\nO2 endif\n{LOOP}",
    "in a subprogram": f"O9 sub\nM3 S3056\nG4 P3\nO9 endsub\nO9 call\n{LOOP}",
}
NOT_WAITED = {
    "not at all": f"M3 S3056\n{LOOP}",
    "too short": f"M3 S3056\nG4 P2.9\n{LOOP}",
    "at another speed": f"M3 S3057\nG4 P3\n{LOOP}",
    "before the speed": f"M3 S4000\nG4 P3\nS3056\n{LOOP}",
    "at the first part alone": f"M3 S3056\nG4 P3\nO1 repeat [3]\n{PART}(DRESS HERE)\nM5\nM3\nO1 endrepeat\n",
    "on one way alone": f"O2 if [#<_x> GT 1]\nM3 S3056\nG4 P3\nO2 else\nS3056 M3\nO2 endif\n{LOOP}",
    "unless a switch is on": f"M3 S3056\n/G4 P3\n{LOOP}",
    "for a time that is worked out": f"M3 S3056\nG4 P[#600+3]\n{LOOP}",
    "before the program stops": f"M3 S3056\nG4 P3\nM0\n{LOOP}",
    "before it was stopped": f"M3 S3056\nG4 P3\nM5\nM3\n{LOOP}",
}


@pytest.mark.parametrize("lines", WAITED.values(), ids=WAITED)
def test_a_spindle_that_was_waited_for_is_not_waited_for_again(tmp_path: Path, lines: str) -> None:
    bench, path, job = put_in(tmp_path, lines)
    assert told(job) == []
    assert waits(job) == 0
    path.write_text(job.text or "")
    assert read_back(bench, path) == []
    assert prepare_spliced(path, bench.recipe(HOST), Asked(back=True)).same
    assert runner().invoke(main, ["splice", "--check", str(bench.root)]).exit_code == 0


@pytest.mark.parametrize("lines", NOT_WAITED.values(), ids=NOT_WAITED)
def test_any_other_is_waited_for(tmp_path: Path, lines: str) -> None:
    bench, path, job = put_in(tmp_path, lines)
    assert told(job) == []
    assert waits(job) >= 1
    path.write_text(job.text or "")
    assert read_back(bench, path) == []


EDITS = {
    "no wait any more": ("G4 P3\n", ""),
    "one that with the coolant's 2 s is too short": ("G4 P3\n", "G4 P0.9\n"),
    "another speed": ("M3 S3056\nG4 P3", "M3 S4000\nG4 P3"),
    "a stop, at which the guard may be opened": ("G53 G0 X200\n", "G53 G0 X200\nM0\nG4 P0.9\n"),
    "told anew": ("G53 G0 X200\n", "G53 G0 X200\nM5\nM3\n"),
}


@pytest.mark.parametrize("edit", EDITS.values(), ids=EDITS)
def test_a_program_changed_around_it_is_found(tmp_path: Path, edit: tuple[str, str]) -> None:
    bench, path, job = put_in(tmp_path, WAITED["before the loop"])
    assert job.text is not None
    assert job.text.count(edit[0]) >= 1
    path.write_text(job.text.replace(*edit, 1))
    assert "spindle-running" in read_back(bench, path)


BOTH_WAYS = "O2 if [#600 EQ 0]\nM3 S3056\nG4 P3\nO2 else\nM3 S3056\nG4 P3\nO2 endif\n"
UNSEEN = {
    "stopped behind the dress": ("O1 endrepeat", "M5\nM3\nO1 endrepeat"),
    "at another speed behind it": ("O1 endrepeat", "S4000\nO1 endrepeat"),
    "both": ("O1 endrepeat", "M5\nS4000 M3\nO1 endrepeat"),
    "no wait on the other way": ("O2 else\nM3 S3056\nG4 P3\n", "O2 else\nM3 S3056\n"),
}


@pytest.mark.parametrize("edit", UNSEEN.values(), ids=UNSEEN)
@pytest.mark.parametrize("origin", [True, False], ids=["as made", "without what it is from"])
def test_a_passage_that_is_not_read_and_has_not_waited_is_found(
    tmp_path: Path, edit: tuple[str, str], origin: bool
) -> None:
    """The run that is read has waited where it first comes to the place."""
    lines = f"{BOTH_WAYS}O1 repeat [3]\n{OUT}(DRESS HERE)\n{PART}O1 endrepeat\n"
    bench, path, job = put_in(tmp_path, lines, back=False)
    assert job.text is not None
    assert waits(job) == 0
    assert edit[0] in job.text
    text = job.text.replace(*edit)
    path.write_text(text if origin else re.sub(r"\(FROM .*\)\n", "", text))
    assert read_back(bench, path) != []


def read_back(bench: Bench, path: Path) -> list[str]:
    """The bounds that ``check`` finds broken."""
    ran = runner().invoke(main, ["check", str(path), "--machine", str(bench.machine), "--json"])
    return [one["rule"] for one in json.loads(ran.stdout)["findings"] if one["severity"] == "error"]


def drawn(lot: random.Random) -> str:
    """A program that tells its spindle this and that on its ways to the dress."""

    def some(most: int) -> str:
        kinds = ["M3 S3056", "S3056", "M3", "G4 P1", "G4 P2", "G4 P3", "G4 P3", "S4000", "M5", "G0 X30", "/G4 P2"]
        return "".join(f"{lot.choice(kinds)}\n" for _ in range(lot.randint(0, most)))

    branch = f"O2 if [#700 EQ 1]\n{some(2)}O2 else\n{some(2)}O2 endif\n#700=[1-#700]\n"
    return f"#700=0\nM3 S3056\n{some(4)}O1 repeat [4]\n{branch}{some(1)}{PART}(DRESS HERE)\n{some(2)}O1 endrepeat\n"


def test_at_every_passage_the_wheel_has_had_its_time(tmp_path: Path) -> None:
    """Hosts drawn at random: the judge's own dwells since it last told its spindle something else."""
    lot = random.Random(3056)
    without = accepted = 0
    for number in range(60):
        _, _, job = put_in(tmp_path / f"{number}", drawn(lot))
        if job.text is None:
            continue
        accepted += 1
        without += waits(job) == 0
        marked = job.text.splitlines()
        marked.insert(job.lines.start - 1, "(MSG, THE DRESS)")
        registers = {501: 110.0, 502: 120.0, 503: 0.0, 504: 0.0}
        calls = canonical(as_judged("\n".join([*marked, ""]), "XZ"), tmp_path, registers)
        waited = times_waited(calls)
        assert len(waited) == 4
        assert min(waited) >= 3
    assert accepted > 20
    assert without > 5


def times_waited(calls: list[str]) -> list[float]:
    """For each dress among the judge's ``calls``: the s of its dwells between the spindle's last change and a feed."""
    turns, speed, seconds, coming = "", 0.0, 0.0, False
    found: list[float] = []
    for call in calls:
        now = turns, speed
        if told_speed := re.match(r"SET_SPINDLE_SPEED\((?:\d+, )?([\d.]+)\)", call):
            now = turns, float(told_speed[1])
        elif "SPINDLE_CLOCKWISE" in call or "SPINDLE_COUNTERCLOCKWISE" in call or "STOP_SPINDLE" in call:
            now = call, speed
        elif dwell := re.match(r"DWELL\(([\d.]+)\)", call):
            seconds += float(dwell[1])
        elif "THE DRESS" in call:
            coming = True
        elif coming and call.startswith("STRAIGHT_FEED"):
            assert (speed, "_CLOCKWISE" in turns) == (3056.0, True)
            found.append(seconds)
            coming = False
        if now != (turns, speed):
            (turns, speed), seconds = now, 0.0
    return found
