"""The programs beside the dress: first opening after truing, prove-out, and the subprogram that counts parts."""

from __future__ import annotations

import re
from decimal import Decimal
from pathlib import Path

import pytest

from gen.base.places import data_folder
from gen.bounds.build import build
from gen.bounds.readback import read_state
from gen.control.draft import Program, draft
from gen.control.options import Options
from gen.control.seal import blocks, digest
from gen.plan.node import State
from gen.plan.step import Aux, Move, Stop, Write
from gen.reader import lower, run
from gen.shop.load import load_machine, load_recipe
from judge import judge
from runner import Command, Shop

OPENING = '\n[dress.after_truing]\nplunge = "10 mm"\nplunges = 3\naggressiveness = 280\n'


def built(shop: Shop, options: Options) -> Program:
    return build(load_recipe(shop.recipe), load_machine(shop.machine), ("north-bench", "flute-rough"), options)


# -- first opening after truing


def test_the_first_opening_is_a_program_of_its_own(command: Command, shop: Shop) -> None:
    shop.recipe.write_text(shop.recipe.read_text() + OPENING)
    outcome = command("generate", shop.recipe, "--out", shop.out, "--json")
    assert outcome.code == 0, outcome.err
    dress, opening = (Path(program["program"]) for program in outcome.document["programs"])
    assert (dress.stem, opening.stem) == ("flute-rough", "flute-rough-after-truing")
    text = opening.read_text()
    assert "FIRST OPENING AFTER TRUING" in text
    assert "FIRST OPENING" not in dress.read_text()
    assert text.count("plunge 3 of 3") == 1
    numbers = {next(blocks(path.read_text().splitlines())).number for path in (dress, opening)}
    assert len(numbers) == 2
    checked = command("check", dress, opening, "--machines", shop.root / "machines")
    assert checked.code == 0, checked.out


def test_what_would_help_changes_the_opening_and_not_the_dress(command: Command, shop: Shop) -> None:
    shop.recipe.write_text(shop.recipe.read_text() + OPENING.replace('"10 mm"', '"20 mm"'))
    outcome = command("generate", shop.recipe, "--out", shop.out, "--json")
    assert outcome.code == 1
    dress, opening = outcome.document["programs"]
    assert dress["program"] is not None
    (finding,) = opening["findings"]
    assert (finding["rule"], finding["change"]["key"]) == ("plunge-depth", "dress.after_truing.plunge")


# -- prove-out


def test_every_prove_out_of_the_demo_shop_holds(command: Command, shop: Shop) -> None:
    recipes = sorted((shop.root / "machines").glob("*/dress/*.toml"))
    outcome = command("generate", *recipes, "--prove-out", "--out", shop.out, "--json")
    assert outcome.code == 0, outcome.err
    programs = [Path(program["program"]) for program in outcome.document["programs"]]
    assert all(path.stem.endswith("-prove-out") for path in programs)
    assert all("DOES NOT DRESS" in path.read_text() for path in programs)
    checked = command("check", *programs, "--machines", shop.root / "machines")
    assert checked.code == 0, checked.out


def test_a_prove_out_never_touches_and_leaves_no_trace(shop: Shop) -> None:
    program = built(shop, Options(purpose="prove-out"))
    lowered = lower(program.text, program.dialect.control)
    registers = set(program.plan.registers.values())
    # by hand: the new wheel and full stick touch at 260 - 150 - 62.5 = 47.5 mm; less 4 mm clearance and 5.5 mm held off
    for state in program.dress.corners():
        steps = run(lowered, read_state(program, state), registers=registers).steps
        deepest = max(step.to["U"] for step in steps if isinstance(step, Move))
        assert deepest == pytest.approx(47.5 - 4 - 5.5)
        assert sum(isinstance(step, Stop) for step in steps) == 3
        assert not any(isinstance(step, Write) for step in steps)
        assert not any(isinstance(step, Aux) and step.function == "override-lock" for step in steps)


@pytest.mark.parametrize(
    ("old", "new", "line"),
    [
        pytest.param("G53 G1 U38 ", "G53 G1 U40 ", "G53 G1 U40 ", id="too near"),
        pytest.param("M8\n", "M8\n#502 = [1]\n", "#502 = [1]", id="a register written"),
        pytest.param("M8\n", "M8\nM49\n", "M49", id="overrides locked"),
        pytest.param("G53 G1 U38 F#593\n", "G53 G1 U38 F#593\nM0\n", "M0", id="a stop away from parked"),
    ],
)
def test_faults_in_a_prove_out(command: Command, shop: Shop, old: str, new: str, line: str) -> None:
    command("generate", shop.recipe, "--prove-out", "--out", shop.out)
    path = shop.out / "north-bench/flute-rough-prove-out.ngc"
    text = path.read_text()
    assert text.count(old) == 1
    path.write_text(resealed(text.replace(old, new)))
    outcome = command("check", path, "--machines", shop.root / "machines", "--json")
    assert outcome.code == 1
    found = [finding for finding in outcome.document["findings"] if finding["rule"] == "prove-out"]
    at = {text.splitlines()[finding["line"] - 1] for finding in found for text in [path.read_text()]}
    assert any(one.startswith(line.strip()) for one in at), (at, outcome.document)


@pytest.mark.parametrize(
    ("old", "new", "rules"),
    [
        pytest.param("IF R90>=10 ", "IF R90==10 ", {"plunge-depth"}, id="never again once it is overdue"),
        pytest.param("IF R84<>0 GOTOF DRESS_110\n", "IF R90==5 GOTOF DRESS_110\n", {"part-counter"}, id="at part five"),
    ],
)
def test_a_counter_that_decides_otherwise_is_found(
    command: Command, shop: Shop, old: str, new: str, rules: set[str]
) -> None:
    command("generate", shop.root / "machines/long-slide/dress/narrow-wheel.toml", "--out", shop.out)
    path = shop.out / "long-slide/narrow-wheel.nc"
    text = path.read_text()
    assert text.count(old) == 1
    path.write_text(resealed(text.replace(old, new)))
    outcome = command("check", path, "--machines", shop.root / "machines", "--json")
    assert outcome.code == 1
    assert rules <= {finding["rule"] for finding in outcome.document["findings"]}, outcome.document


def resealed(text: str) -> str:
    lines = text.splitlines()
    mark = next(blocks(lines))
    seal = digest(lines[mark.first : mark.last - 1])
    lines[mark.first - 1] = re.sub(r"SEAL [0-9A-F]+", f"SEAL {seal}", lines[mark.first - 1])
    return "\n".join([*lines, ""])


# -- the subprogram that counts parts


def counting(shop: Shop) -> Program:
    return built(shop, Options(form="subprogram"))


def test_a_dress_comes_before_part_seven_and_thirteen(shop: Shop) -> None:
    program = counting(shop)
    assert program.accepted, program.findings
    lowered = lower(program.text, program.dialect.control)
    parts, length, dressed = 0.0, 150.0, []
    for part in range(1, 15):
        values = {"wheel_diameter": 125.0, "stick_length": length, "parts_since_dress": parts, "in_progress": 0.0}
        reading = run(lowered, read_state(program, State(values)), registers={501, 502, 503, 504})
        written = {step.register: step.value for step in reading.steps if isinstance(step, Write)}
        if any(isinstance(step, Move) for step in reading.steps):
            dressed.append(part)
        parts, length = written[503], written.get(502, length)
    assert dressed == [7, 13]
    assert length == 150 - 2 * 8


def test_rs274_counts_the_same(shop: Shop) -> None:
    program = counting(shop)
    body = "\n".join(line for line in program.text.splitlines() if line != "%")
    calls = "O7101 call\n" * 14
    at_first = {501: 125.0, 502: 150.0, 503: 0.0, 504: 0.0}
    verdict = judge(f"{body}\n{calls}M2\n", registers=at_first, saved=[502, 503, 504], letters={"U": "Y"})
    assert not verdict.error, verdict.error
    plunges = [step for step in verdict.steps if isinstance(step, Move) and step.op == "feed" and step.rate == 300]
    assert len(plunges) == 2
    # parts 13 and 14 have been begun since the dress before part 13
    assert {number: verdict.parameters[number] for number in (502, 503, 504)} == {502: 134.0, 503: 2.0, 504: 0.0}


def test_an_interrupted_dress_is_due_at_once(shop: Shop) -> None:
    program = counting(shop)
    state = program.dress.state(in_progress=1.0)
    reading = run(lower(program.text, program.dialect.control), read_state(program, state))
    assert reading.end == "refused"
    assert [step.to for step in reading.steps if isinstance(step, Move)] == [{"U": 0.0}]


def test_a_slide_that_stands_at_nought_is_told_in_the_heading() -> None:
    folder = data_folder("machines") / "shuttle"
    pair = load_recipe(folder / "dress" / "notch-wheel.toml"), load_machine(folder / "machine.toml")
    options = Options(resolve=True, slide_position=Decimal(0))
    program = draft(*pair, ("shuttle", "notch-wheel"), options)
    assert "(RIGHT ONLY FOR SLIDE POSITION 0 MM)" in program.text
    assert program.state.positions == {"U": 0}
    assert "--slide-position" in options.given
