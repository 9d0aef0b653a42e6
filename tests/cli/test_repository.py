"""A shop's repository of 200 programs with seven faults in it: seven findings, at their lines, and nothing else."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from junitparser import JUnitXml

from gen.base.places import data_folder
from gen.control.draft import draft
from gen.control.options import Options
from gen.control.seal import blocks, digest
from gen.shop.load import load_machine, load_recipe
from runner import Command

MACHINES, RECIPES = 20, 10

BASES = (
    ("inch-table", "slot-wheel"),
    ("shuttle", "notch-wheel"),
    ("north-bench", "flute-rough"),
    ("shuttle", "point-wheel"),
)
"""Machines and recipes of the demo shop that the repository's are made from."""


@dataclass(frozen=True)
class Fault:
    """One line of a program as it was and as it is; the rule must fire there, or at the line before it (``above``)."""

    base: str
    old: str
    new: str
    rule: str
    above: str = ""
    by_hand: bool = False


SEVEN = [
    Fault("north-bench", r"^G4 P\d \(spindle.*", "G4 P1", "spindle-running", above=r"^M3 "),
    Fault("north-bench", r"^G4 P2 \(coolant.*", "G4 P0.1", "coolant", above=r"^M8$"),
    Fault("north-bench", r"^#502 = .*", "#502 = [#591-1]", "register-order"),
    Fault("inch-table", r"^(G53 G1 X10\.25) F\d+\.\d+$", r"\1 F14.9", "aggressiveness"),
    Fault("inch-table", r"^G53 G0 Y.*", "G53 G0 Y5.", "approach-path"),
    Fault("shuttle", r"^G21 G90 G94 G17 G64$", "G21 G91 G94 G17 G64", "modes-restored"),
    Fault("shuttle", r"^\(GUARD CLOSED.*", "(NO GUARD NEEDED)", "altered", by_hand=True),
]


def repository(root: Path) -> Iterator[Path]:
    """200 programs below ``root``/programs, each as generated from a recipe and a machine of its own."""
    for machine in range(MACHINES):
        base, dress = BASES[machine % len(BASES)]
        folder = root / f"machines/{base}-{machine:02}"
        (folder / "dress").mkdir(parents=True)
        source = data_folder("machines") / base
        text = (source / "machine.toml").read_text()
        (folder / "machine.toml").write_text(re.sub(r'spin_up = "\d', f'spin_up = "{3 + machine % 5}', text))
        for number in range(RECIPES):
            recipe = (source / f"dress/{dress}.toml").read_text()
            recipe = re.sub(r"program = \d+", f"program = {7000 + number}", recipe)
            recipe = re.sub(r"aggressiveness = \d+", f"aggressiveness = {220 + 6 * number}", recipe)
            path = folder / f"dress/wheel-{number}.toml"
            path.write_text(recipe)
            yield written(path, root / "programs")


def written(path: Path, out: Path) -> Path:
    folder = path.parent.parent
    program = draft(load_recipe(path), load_machine(folder / "machine.toml"), (folder.name, path.stem), Options())
    place = out / folder.name / f"{path.stem}{program.dialect.control.file_suffix}"
    place.parent.mkdir(parents=True, exist_ok=True)
    place.write_text(program.text)
    return place


def planted(path: Path, fault: Fault) -> int:
    """Plants ``fault`` in the program at ``path``, sealed again unless by hand; the line where it must be told."""
    lines = path.read_text().splitlines()
    place = next(number for number, line in enumerate(lines) if re.match(fault.old, line))
    lines[place] = re.sub(fault.old, fault.new, lines[place])
    mark = next(blocks(lines))
    if fault.by_hand:
        path.write_text("\n".join([*lines, ""]))
        return mark.first
    seal = digest(lines[mark.first : mark.last - 1])
    lines[mark.first - 1] = re.sub(r"SEAL [0-9A-F]+", f"SEAL {seal}", lines[mark.first - 1])
    path.write_text("\n".join([*lines, ""]))
    told = fault.above or re.escape(lines[place])
    return max(number for number, line in enumerate(lines[: place + 1], 1) if re.match(told, line))


@pytest.fixture
def faults(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> set[tuple[str, int, str]]:
    """Program, line and rule of the seven faults in the repository that is the working folder."""
    monkeypatch.chdir(tmp_path)
    programs = list(repository(Path()))
    assert len(programs) == 200
    free = list(reversed(programs))
    found = set()
    for fault in SEVEN:
        path = next(one for one in free if one.parent.name.startswith(fault.base))
        free.remove(path)
        found.add((path.as_posix(), planted(path, fault), fault.rule))
    return found


def test_seven_faults_in_two_hundred_programs(command: Command, faults: set[tuple[str, int, str]]) -> None:
    assert len(faults) == 7
    sarif = command("check", "programs", "--machines", "machines", "--format", "sarif")
    assert sarif.code == 1
    results = json.loads(sarif.out)["runs"][0]["results"]
    in_sarif = {
        (where["artifactLocation"]["uri"], where["region"]["startLine"], result["ruleId"])
        for result in results
        for where in [result["locations"][0]["physicalLocation"]]
    }
    assert in_sarif == faults
    assert len(results) == 7

    said = re.findall(r"^(\S+?):(\d+): error (\S+?)(?: \(\w+\))?: ", sarif.err, re.MULTILINE)
    assert {(path, int(line), rule) for path, line, rule in said} == faults

    junit = command("check", "programs", "--machines", "machines", "--format", "junit")
    assert junit.code == 1
    (suite,) = JUnitXml.fromstring(junit.out.encode())
    assert (suite.tests, suite.failures, suite.errors) == (200, 7, 0)
    told = [line for case in suite for result in case.result for line in result.text.splitlines()]
    places = [re.match(r"(\S+?):(\d+): error (\S+?)(?: \(\w+\))?: ", line) for line in told]
    assert {(place[1], int(place[2]), place[3]) for place in places if place} == faults
    assert len(told) == 7
