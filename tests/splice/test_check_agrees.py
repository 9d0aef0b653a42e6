"""What ``splice`` has put into a program, it and ``check`` accept afterwards: also where that goes round for ever.

A stick that is used up at a later passage ends the program by the dress's own guard, which is no fault of either.
"""

from __future__ import annotations

import time
from pathlib import Path

import pytest
from hosts import Bench, Host
from test_cells import PROGRAMS, shop
from test_loops import GOES_ROUND, HASH, HASHED
from test_refusals import HOST

from gen.control.folders import load_control
from gen.control.heading import Heading, read_heading
from gen.control.options import Options
from gen.control.render import clean
from gen.jobs.check import check_program
from gen.jobs.generate import prepare, write
from gen.jobs.hosts import spliced
from gen.jobs.provenance import Named
from gen.jobs.splice import Asked, compare_spliced, prepare_spliced, write_spliced

LOOPS: dict[str, tuple[Host, str, str]] = {
    **{name: (HOST, "rs274ngc", text) for name, text in GOES_ROUND.items()},
    **{name: (HASH, "hash-variables", text) for name, text in HASHED.items()},
}


def errors(bench: Bench, path: Path, recipe: Path, asked: Asked) -> list[tuple[str, int | None]]:
    """What ``check`` and ``splice --check`` find broken in the program at ``path`` when the dress is in it."""
    job = write_spliced(prepare_spliced(path, recipe, asked), path)
    assert job.text is not None, job.findings
    begun = time.process_time()
    found = check_program(path, Named(machine=bench.machine))
    assert time.process_time() - begun < 20
    found += [one for told in spliced(bench.root, Options()) for one in told.findings]
    return [(one.rule, one.line) for one in found if one.severity == "error"]


@pytest.mark.parametrize("name", LOOPS)
def test_a_dress_in_a_loop_is_accepted(tmp_path: Path, name: str) -> None:
    host, control, text = LOOPS[name]
    bench = Bench.of(host, control, tmp_path)
    path = bench.root / host.file
    path.write_text(text)
    assert (
        errors(bench, path, bench.recipe(host), Asked(options=Options(begins={503: 9.0} if host is HOST else {}))) == []
    )


@pytest.mark.parametrize("call", [False, True], ids=["block", "call"])
@pytest.mark.parametrize("name", PROGRAMS)
def test_so_is_one_in_each_of_the_cells(tmp_path: Path, name: str, call: bool) -> None:
    bench, path, host = shop(name, tmp_path)
    counts = name.startswith("own-counter") and not call
    asked = Asked(call=call, back=True, options=Options(begins={503: 9.0} if counts else {}))
    assert errors(bench, path, bench.recipe(host), asked) == []


COUNTS_BY_ITSELF: dict[str, tuple[Host, str, int]] = {
    "rs274ngc": (
        HOST,
        "G21 G90 G94 G17 G54 G49 G92.2\nG64\nM3 S4100\nG4 P3\nM8\n#503 = [#503+1]\nO1 if [#503 GE 6]\n"
        "G53 G0 X200\nG53 G0 Z120\n(DRESS HERE)\nO1 endif\nG0 X22 Z4\nG1 X9 F210\nG0 X40\nM2\n",
        503,
    ),
    "hash-variables": (
        HASH,
        "G21 G90 G94 G17 G64 G49\nM4 S2000\nG4 P4000\n#513=#513+1.\nIF [#513 LT 8.] GOTO 20\n"
        "G53 G0 X-250.\nG53 G0 C0.\n(DRESS HERE)\nN20 G0 X1. Z2.\nG1 X0. F100.\nM30\n",
        513,
    ),
}
"""One part a run: the program counts, and goes to the dress when it is due."""


@pytest.mark.parametrize("control", COUNTS_BY_ITSELF)
def test_a_program_that_counts_its_runs_says_with_what_it_begins(tmp_path: Path, control: str) -> None:
    """From the registers alone the place would never be reached; what was said of them is kept in the heading."""
    host, text, counter = COUNTS_BY_ITSELF[control]
    bench = Bench.of(host, control, tmp_path)
    path = bench.root / host.file
    path.write_text(text)
    assert prepare_spliced(path, bench.recipe(host), Asked()).refused
    asked = Asked(back=True, options=Options(begins={counter: 7.0}))
    assert errors(bench, path, bench.recipe(host), asked) == []
    assert f"BEGINS WITH REGISTER {counter} AT 7" in path.read_text()
    assert compare_spliced(prepare_spliced(path, bench.recipe(host), asked)).same


def test_what_a_program_begins_with_is_no_affair_of_the_subprogram(tmp_path: Path) -> None:
    host, text, _ = COUNTS_BY_ITSELF["rs274ngc"]
    bench = Bench.of(host, "rs274ngc", tmp_path)
    recipe = bench.recipe(host)
    recipe.write_text("".join(line for line in recipe.open() if not line.startswith("every_parts")))
    path = bench.root / host.file
    path.write_text(text)
    (job,) = (one for one in prepare(recipe, Options(form="subprogram")) if not one.program.edition.after_truing)
    write(job, bench.root / "programs")
    assert errors(bench, path, recipe, Asked(call=True, back=True, options=Options(begins={503: 7.0}))) == []
    assert not [one for one in check_program(path, Named(machine=bench.machine)) if one.rule == "recipe"]


@pytest.mark.parametrize("control", ["rs274ngc", "hash-variables", "r-variables", "iso6983"])
@pytest.mark.parametrize("value", [7.0, -0.125, 1e-7, 123456789.0, 1e20])
def test_what_it_begins_with_comes_back_from_the_heading(control: str, value: float) -> None:
    begins: dict[int | str, float] = {503: value, "_due": value}
    lines = Heading("north-bench", "flute-rough", begins=begins).lines()
    spoken = [clean(line, load_control(control)) for line in lines]
    found = read_heading(spoken)
    assert found is not None
    assert {str(name).lower(): value for name, value in found.begins.items()} == {"503": value, "_due": value}
