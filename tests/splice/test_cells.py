"""Twelve grinding programs as four invented shops write them: spliced, and run by the judge with and without a dress.

Loops, repeats, subprograms, a program that goes round, probing, sister tools, outputs, a second spindle. On
``rs274ngc`` the interpreter ``rs274`` runs each without a dress, with one that is due at once, and with one that is
not: outside the dress its calls are the same, and where none is due there are none. The other controls have no
judge; there the reader's word stands.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from _pytest.mark import ParameterSet
from hosts import Bench, Host
from test_judge_hosts import GOES_ON, as_judged, canonical

from gen.control.draft import draft
from gen.control.folders import load_control
from gen.control.options import Options
from gen.host.place import find
from gen.jobs.splice import Asked, Spliced, prepare_spliced, write_spliced
from gen.plan.step import Register
from gen.shop.load import load_machine, load_recipe

CELLS = Path(__file__).parent / "cells"
SHOPS = {
    ".ngc": ("north-bench", "rs274ngc", "flute-rough"),
    ".nc": ("south-bench", "hash-variables", "gash-cup"),
    ".mpf": ("long-slide", "r-variables", "broach-wheel"),
}
PLAIN = ("shuttle", "iso6983", "notch-wheel")
PROGRAMS = sorted(path.name for path in CELLS.iterdir())
JUDGED = [name for name in PROGRAMS if name.endswith(".ngc")]
BEGINS = "(MSG, DRESS BEGINS)"


def shop(name: str, root: Path) -> tuple[Bench, Path, Host]:
    machine, control, recipe = PLAIN if name.startswith("plain") else SHOPS[Path(name).suffix]
    host = Host(machine, name, recipe)
    bench = Bench.of(host, control, root)
    path = bench.root / name
    path.write_bytes((CELLS / name).read_bytes())
    if name.startswith("twin"):
        text = bench.machine.read_text()
        assert "[host]" not in text
        bench.machine.write_text(text + '\n[host]\nknown = ["M130", "M131"]\n')
    return bench, path, host


def spliced(
    name: str, root: Path, *, call: bool, registers: dict[Register, float] | None = None
) -> tuple[Bench, Spliced]:
    bench, path, host = shop(name, root)
    job = prepare_spliced(
        path, bench.recipe(host), Asked(call=call, back=True, options=Options(begins=registers or {}))
    )
    return bench, job


def test_there_are_twelve() -> None:
    assert len(PROGRAMS) == 12
    assert len(JUDGED) == 6


@pytest.mark.parametrize("call", [False, True], ids=["block", "call"])
@pytest.mark.parametrize("name", PROGRAMS)
def test_each_takes_a_dress_and_is_the_same_the_second_time(tmp_path: Path, name: str, call: bool) -> None:
    registers: dict[Register, float] | None = {503: 9.0} if name.startswith("own-counter") and not call else None
    bench, job = spliced(name, tmp_path, call=call, registers=registers)
    errors = [finding for finding in job.findings if finding.severity == "error"]
    assert errors == []
    path = bench.root / name
    write_spliced(job, path)
    recipe = bench.recipe(shop(name, tmp_path / "again")[2])
    assert prepare_spliced(path, recipe, Asked(call=call, back=True, options=Options(begins=registers or {}))).same


def outside_dresses(calls: list[str]) -> list[str]:
    """The judge's calls outside the dresses, from the first time that the program goes on."""
    found: list[str] = []
    inside = True
    for call in calls:
        if "DRESS BEGINS" in call:
            inside = True
        elif "GOES ON" in call:
            inside = False
        elif not inside:
            found.append(call)
    return found


REGISTERS = {501: 110.0, 502: 148.0, 504: 0.0}


def judged() -> Iterator[ParameterSet]:
    """Each host by form and parts made; one that counts by itself has nothing to call."""
    cases = {"block": ("block", 9.0), "due at once": ("call", 6.0), "due later": ("call", 0.0)}
    for name in JUDGED:
        for said, (form, parts) in cases.items():
            if form == "block" or not name.startswith("own-counter"):
                yield pytest.param(name, form, parts, id=f"{name}-{said}")


@pytest.mark.parametrize(("name", "form", "parts"), list(judged()))
def test_the_judge_finds_the_same_calls_outside_the_dress(tmp_path: Path, name: str, form: str, parts: float) -> None:
    bench, job = spliced(name, tmp_path, call=form == "call", registers={503: 9.0})
    assert job.text is not None, job.findings
    text = (CELLS / name).read_text()
    axes = "".join(sorted(set(re.findall(r"\b([XYZABC])[-+.0-9\[#]", re.sub(r"\([^)]*\)", "", text)))))
    without = text.splitlines()
    without.insert(find(text, load_control("rs274ngc"), job.number, None).after, GOES_ON)
    with_dress = job.text.splitlines()
    with_dress.insert(job.lines.stop - 1, GOES_ON)
    with_dress.insert(job.lines.start - 1, BEGINS)
    if form == "call":
        recipe, machine = load_recipe(bench.root / "dress" / "flute-rough.toml"), load_machine(bench.machine)
        subprogram = draft(recipe, machine, ("north-bench", "flute-rough"), Options(form="subprogram")).text
        with_dress = [*(line for line in subprogram.splitlines() if line != "%"), *with_dress]
    registers = {**REGISTERS, 503: parts}
    first = canonical(as_judged("\n".join([*without, ""]), axes), tmp_path, registers)
    second = canonical(as_judged("\n".join([*with_dress, ""]), axes), tmp_path, registers)
    begun = next(at for at, one in enumerate(second) if "DRESS BEGINS" in one)
    ended = next(at for at, one in enumerate(second) if "GOES ON" in one)
    dressed = any(one.startswith("STRAIGHT_FEED") for one in second[begun:ended])
    assert dressed is (parts > 0.0)
    if not dressed:
        assert [one for one in second[begun + 1 : ended] if not one.startswith("SELECT_TOOL")] == []
    if not name.startswith("own-counter"):
        assert len(outside_dresses(first)) > 5
        assert outside_dresses(second) == outside_dresses(first)
        return
    # with a dress the program's own count begins again, so that it goes out less often: what it grinds is the same
    ground = [[call for call in outside_dresses(one) if call.startswith("STRAIGHT_FEED")] for one in (first, second)]
    assert len(ground[0]) > 10
    assert ground[0] == ground[1]
