"""Where the subprogram counts the parts, nothing is switched, waited for or put back while no dress is due."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hosts import Bench, Host
from test_refusals import HOST, told

from gen.bounds.readback import read_state
from gen.control.draft import draft
from gen.control.options import Options
from gen.host.elsewhere import with_subprogram
from gen.host.text import HostLines
from gen.jobs.hosts import spliced as spliced_below
from gen.jobs.splice import Asked, Spliced, prepare_spliced, write_spliced
from gen.plan.step import Aux, Dwell, Move, Spindle, Step, Write
from gen.reader import lower, run
from gen.shop.load import load_machine, load_recipe

HASH = Host("south-bench", "any.nc", "gash-cup")
LOOPS = {
    "rs274ngc": (
        HOST,
        "G21 G90 G94 G17 G54 G49 G92.2\nG64 P0.01\nM3 S4000\nG4 P3\nM8\nG0 X200 Z100\n"
        "O1 repeat [20]\nG0 X20 Z4\nG1 X15 F200\nG53 G0 X200\nG53 G0 Z100\n(DRESS HERE)\nO1 endrepeat\nM2\n",
    ),
    "hash-variables": (
        HASH,
        "G21 G90 G94 G17 G64 G49\nM4 S2000\nG4 P3000\nM8\nN10 #100=#100+1.\nG53 G0 X-250.\nG53 G0 C0.\n(DRESS HERE)\n"
        "G53 G0 X-250.\nG53 G0 C0.\nG0 Z2.\nIF [#100 LT 20.] GOTO 10\nM30\n",
    ),
}


def called(control: str, root: Path, *, back: bool = True) -> tuple[Bench, Path, Spliced]:
    host, text = LOOPS[control]
    bench = Bench.of(host, control, root)
    path = bench.root / host.file
    path.write_text(text)
    return bench, path, prepare_spliced(path, bench.recipe(host), Asked(call=True, back=back))


def passes(control: str, root: Path) -> list[list[Step]]:
    """What the call does, each time the loop comes by it."""
    bench, _, job = called(control, root)
    assert job.text is not None, job.findings
    recipe, machine = load_recipe(bench.recipe(LOOPS[control][0])), load_machine(bench.machine)
    program = draft(recipe, machine, ("machine", "recipe"), Options(form="subprogram"))
    start = read_state(program, program.state)
    start = replace(start, registers={**start.registers, COUNTER[control]: 0.0})
    lines = HostLines(job.text)
    region = range(job.lines.start, job.lines.stop)
    whole, ours = with_subprogram(lines, region, program.text, program.dialect.control, job.number)
    reading = run(lower(whole.text, program.dialect.control), start, window=ours)
    return [list(reading.steps[window.entry.step : window.leaving.step]) for window in reading.windows]


EVERY = {"rs274ngc": 6, "hash-variables": 8}
COUNTER = {"rs274ngc": 503, "hash-variables": 513}
DUE = {"rs274ngc": 590, "hash-variables": 530}
"""The working variable that says whether a dress is due."""


@pytest.mark.parametrize("control", LOOPS)
def test_a_part_without_a_dress_costs_nothing_but_the_count(tmp_path: Path, control: str) -> None:
    found, parts = passes(control, tmp_path), EVERY[control]
    assert len(found) == 20
    for passage, steps in enumerate(found):
        if passage and passage % parts == 0:
            assert any(isinstance(step, Spindle) and step.direction == "off" for step in steps)
            assert isinstance(steps[-1], Move)  # the way back is part of it
            continue
        # a dwell of nothing is the word of hash-variables that waits for motion
        waits = [step for step in steps if isinstance(step, Dwell) and not step.seconds]
        doing = [step for step in steps if not isinstance(step, Aux) and step not in waits]
        assert all(isinstance(step, Write) for step in doing)
        assert {step.register for step in doing if isinstance(step, Write)} == {COUNTER[control], DUE[control]}


@pytest.mark.parametrize("control", LOOPS)
def test_the_call_is_the_same_the_second_time_and_checked_with_the_folder(tmp_path: Path, control: str) -> None:
    bench, path, job = called(control, tmp_path)
    assert told(job) == []
    write_spliced(job, path)
    again = prepare_spliced(path, bench.recipe(LOOPS[control][0]), Asked(call=True, back=True))
    assert again.same
    (held,) = [one for one in spliced_below(bench.root, Options()) if one.path == str(path)]
    assert [one for one in held.findings if one.severity == "error"] == []
    recipe = bench.recipe(LOOPS[control][0])
    parts = next(line for line in recipe.read_text().splitlines() if line.startswith("every_parts"))
    recipe.write_text(recipe.read_text().replace(parts, "every_parts = 5"))
    (changed,) = [one for one in spliced_below(bench.root, Options()) if one.path == str(path)]
    assert "drift" in {one.rule for one in changed.findings if one.severity == "error"}


def test_a_call_that_does_not_name_its_recipe_is_told(tmp_path: Path) -> None:
    bench, path, job = called("rs274ngc", tmp_path)
    assert job.text is not None
    path.write_text("\n".join(line for line in job.text.splitlines() if "RECIPE" not in line) + "\n")
    (held,) = [one for one in spliced_below(bench.root, Options()) if one.path == str(path)]
    assert [one.message for one in held.findings] == [
        "the call of dress 7101 does not say which recipe it is from; splice it again."
    ]


@pytest.mark.parametrize(("words", "said"), [("", True), ("IF", False)], ids=["every time", "the program counts"])
def test_parts_that_nobody_counts_are_spoken_of(tmp_path: Path, words: str, said: bool) -> None:
    bench = Bench.of(HOST, "rs274ngc", tmp_path)
    path = bench.root / HOST.file
    text = LOOPS["rs274ngc"][1]
    if words:
        text = text.replace("(DRESS HERE)", "#503 = [#503+1]\nO2 if [#503 GE 6]\n(DRESS HERE)\nO2 endif")
    path.write_text(text)
    job = prepare_spliced(path, bench.recipe(HOST), Asked(options=Options(begins={503: 6.0})))
    assert told(job) == []
    assert any("dress.every_parts asks for a dress every 6 parts" in one.message for one in job.findings) is said


@pytest.mark.parametrize(
    ("call", "speed", "waits"),
    [(False, 3056, 0), (False, 3057, 2), (False, 4000, 2), (True, 3056, 1), (True, 3057, 2), (True, 4000, 2)],
)
def test_a_dress_at_the_speed_of_the_cycle_does_not_wait_for_the_spindle(
    tmp_path: Path, speed: int, waits: int, *, call: bool
) -> None:
    """The recipe states 3056 rpm; spin_up is 3 s on the north bench, and the cycle waits so long before its loop.

    A subprogram is one and the same for every cycle that calls it, and waits before the dress. Coolant takes 2 s, and
    is counted apart.
    """
    bench = Bench.of(HOST, "rs274ngc", tmp_path)
    recipe = bench.recipe(HOST)
    recipe.write_text(recipe.read_text().replace('wheel_speed = "20 m/s"', 'speed = "3056 rpm"'))
    path = bench.root / HOST.file
    path.write_text(LOOPS["rs274ngc"][1].replace("S4000", f"S{speed}"))
    job = prepare_spliced(path, recipe, Asked(call=call, back=True))
    assert job.text is not None, job.findings
    assert told(job) == []
    program = draft(load_recipe(recipe), load_machine(bench.machine), ("machine", "recipe"), Options(form="subprogram"))
    dressed = "".join(HostLines(job.text).bare[line - 1] + "\n" for line in job.lines)
    dressed += program.text if call else ""
    assert sum(line.startswith("G4 P3") for line in dressed.splitlines()) == waits
    assert not [one for one in job.findings if "spindle is given" in one.message]
