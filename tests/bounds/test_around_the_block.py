"""What stands around a dress in a program or subprogram of ours, in the branch that only counts, and in a refusal.

Each change is made in a program of the demo shop, with the digest written anew
over the body, and must be found at its line.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable
from dataclasses import replace

import pytest

from gen.base.places import data_folder
from gen.bounds import judge
from gen.bounds.build import build
from gen.bounds.readback import case_of, read_cases
from gen.control.draft import Program, draft
from gen.control.options import Options
from gen.control.seal import blocks, digest
from gen.reader import lower
from gen.shop.edition import Form
from gen.shop.load import load_machine, load_recipe
from gen.shop.machine import Machine

HASH, R, NGC, ISO = (
    "south-bench/gash-cup",
    "long-slide/narrow-wheel",
    "north-bench/flute-rough",
    "inch-table/slot-wheel",
)
FEEDER, SLIDE = "air-feeder/relief-wheel", "shuttle/notch-wheel"

Lines = list[str]


def made(name: str, form: Form) -> Program:
    machine, recipe = name.split("/")
    folder = data_folder("machines") / machine
    tables = load_recipe(folder / "dress" / f"{recipe}.toml"), load_machine(folder / "machine.toml")
    return draft(*tables, (machine, recipe), Options(form=form))


def sealed(lines: Iterable[str]) -> str:
    """The text with the digest of its body as it now is."""
    kept = list(lines)
    (block,) = blocks(kept)
    begin = block.first - 1
    kept[begin] = re.sub(r"SEAL [0-9A-F]{16}", f"SEAL {digest(kept[block.first : block.last - 1])}", kept[begin])
    return "\n".join([*kept, ""])


def errors(program: Program, lines: Iterable[str]) -> set[tuple[str, int | None]]:
    """Rule and line of every error, the rule on all states left out: it is told where no other one finds anything."""
    text = sealed(lines)
    if program.by_registers:
        cases = list(read_cases(replace(program, text=text)))
    else:
        cases = [case_of(program, lower(text, program.dialect.control), program.state, text=text)]
    found = judge(cases).findings
    return {(one.rule, one.line) for one in found if one.severity == "error" and one.rule != "all-states"}


def around(program: Program) -> tuple[Lines, int, int]:
    """The lines, and where a line stands before the begin mark and behind the end mark."""
    lines = program.text.splitlines()
    (block,) = blocks(lines)
    return lines, block.first - 1, block.last


ADDED = {
    HASH: ("G53 G0 W-150.", "G91", "G20", "G92 X0", "G10 L2 P1 X0", "#512=100.", "M8", "M3 S500", "G4 P1000", "M0"),
    R: ("G53 G0 W100.", "G91", "R82=100.", "M8", "G4 F1."),
    NGC: ("G53 G0 U60", "G91", "G20", "G95", "G92 X0", "#502 = 100", "M8", "G4 P1", "M0"),
    ISO: ("G53 G0 X5.", "G91", "G92 X0", "M8", "G4 X1."),
}


def test_what_is_generated_has_nothing_against_it() -> None:
    for name in (*ADDED, FEEDER, SLIDE):
        for form in ("program", "subprogram"):
            program = made(name, form)
            found = errors(program, program.text.splitlines())
            assert found <= {("right-once", None)}, (name, form)  # a subprogram of numbers is refused in any case


@pytest.mark.parametrize("form", ["program", "subprogram"])
@pytest.mark.parametrize("name", ADDED)
def test_before_the_begin_mark(name: str, form: Form) -> None:
    program = made(name, form)
    for word in ADDED[name]:
        lines, first, _ = around(program)
        found = errors(program, [*lines[:first], word, *lines[first:]])
        assert {("one-piece", first + 1), ("unread", first + 1)} & found, word


@pytest.mark.parametrize("name", [HASH, R])
def test_between_the_end_mark_and_the_return(name: str) -> None:
    program = made(name, "subprogram")
    for word in ADDED[name]:
        lines, _, last = around(program)
        assert ("one-piece", last + 1) in errors(program, [*lines[:last], word, *lines[last:]]), word


def test_a_caller_in_the_same_text_may_do_as_it_likes() -> None:
    """The same move is the caller's own in its lines, and nobody's behind the end mark."""
    program = made(HASH, "subprogram")
    lines, _, last = around(program)
    caller = ["G21 G90 G94 G17 G64", "G53 G0 X0.", f"M98 P{program.dress.recipe.program}", "G53 G0 X10.", "M30"]
    assert {rule for rule, _ in errors(program, [*caller, *lines])} == set()
    added = [*caller, *lines[:last], "G53 G0 W-150.", *lines[last:]]
    assert ("one-piece", len(caller) + last + 1) in errors(program, added)


@pytest.mark.parametrize("mode", ["G20", "G95", "G59"])
def test_a_second_pass_that_enters_behind_the_modes(mode: str) -> None:
    """A sequence number on the way to parked needs no new digest, and a jump to it passes the modes by."""
    program = made(HASH, "subprogram")
    lines, _, last = around(program)
    park = next(at for at, line in enumerate(lines) if line.startswith("G53 G0 W"))
    lines[park] = f"N77 {lines[park]}"
    found = errors(
        program, [*lines[:last], f"{mode}", "IF [#599 EQ 0] GOTO 78", "#599=0", "GOTO 77", "N78", *lines[last:]]
    )
    assert ("one-piece", last + 1) in found


def test_a_slide_that_dresses_for_ever() -> None:
    program = made(SLIDE, "program")
    lines = program.text.splitlines()
    end = max(at for at, line in enumerate(lines) if re.search(r"\bM30\b", line))
    lines[end] = lines[end].replace("M30", "M99")
    assert "one-piece" in {rule for rule, _ in errors(program, lines)}


def words_of(program: Program) -> tuple[str, str]:
    """The word that lets the feeder out, with its dwell, and the word that draws it back."""
    lines = program.text.splitlines()
    out = next(line for line in lines if re.search(r"\bM71\b", line))
    return out, "M72"


@pytest.mark.parametrize("behind", [False, True])
def test_a_feeder_let_out_outside_its_dress(behind: bool) -> None:
    program = made(FEEDER, "subprogram")
    lines, first, last = around(program)
    out, back = words_of(program)
    at = last if behind else first
    found = errors(program, [*lines[:at], out, back, *lines[at:]])
    assert ("one-piece", at + 1) in found


@pytest.mark.parametrize("name", [HASH, NGC])
@pytest.mark.parametrize(("word", "rule"), [("G92 X0", "frame"), ("G10 L2 P1 X0", "frame"), ("T5 M6", "nothing-else")])
def test_what_is_done_before_a_refusal(name: str, word: str, rule: str) -> None:
    program = made(name, "program")
    lines, first, last = around(program)
    at = next(
        at for at in range(first, last) if re.search(r"^\(MSG|#3000|^M0\b|\(.*MEASURE", lines[at]) and at > first + 20
    )
    assert (rule, at + 1) in errors(program, [*lines[:at], word, *lines[at:]])


@pytest.mark.parametrize("parts", ["0.5*{n}", "{n}"])
def test_a_length_that_hangs_on_the_count_of_parts(parts: str) -> None:
    program = made(NGC, "program")
    lines = program.text.splitlines()
    numbers = program.dress.register_numbers
    length, count = numbers["stick_length"], numbers["parts_since_dress"]
    at = next(at for at, line in enumerate(lines) if re.match(rf"#\d+ ?= ?\[?#{length}\b", line))
    lines[at] = re.sub(rf"#{length}\b", f"[#{length}-{parts.format(n=f'#{count}')}]", lines[at], count=1)
    assert errors(program, lines) - {("altered", at + 1)} != set()


def counting_feeder() -> Program:
    """The demo shop's feeder on a control with variables, in a subprogram that counts the parts by itself."""
    folder = data_folder("machines") / "air-feeder"
    machine = tomllib.loads((folder / "machine.toml").read_text(encoding="utf-8"))
    registers = {
        "wheel_diameter": 501,
        "stick_length": 502,
        "parts_since_dress": 503,
        "in_progress": 504,
        "scratch": [590, 599],
    }
    machine = {**machine, "control": "hash-variables", "registers": registers, "title": "Feeder that counts"}
    recipe = load_recipe(folder / "dress/relief-wheel.toml")
    return draft(recipe, Machine.model_validate(machine), ("air-feeder", "relief-wheel"), Options(form="subprogram"))


def test_a_feeder_let_out_where_a_part_is_only_counted() -> None:
    program = counting_feeder()
    assert program.edition.counts
    lines = program.text.splitlines()
    assert errors(program, lines) == set()
    at = next(at for at, line in enumerate(lines) if re.match(r"#503 ?= ?\[?#", line)) + 1
    out, back = words_of(program)
    assert ("part-counter", at + 1) in errors(program, [*lines[:at], out, back, *lines[at:]])
    assert ("part-counter", at + 1) in errors(program, [*lines[:at], "#501=124.", *lines[at:]])


def test_no_wait_for_coolant_is_no_dwell() -> None:
    """A dwell of 0 s is the word that waits for motion on this control, and was read as no dwell at all."""
    folder = data_folder("machines") / "north-bench"
    machine = tomllib.loads((folder / "machine.toml").read_text(encoding="utf-8"))
    machine = {**machine, "control": "hash-variables"}
    machine["dresser"] = {**machine["dresser"], "coolant_wait": "0 s", "machine_frame_feeds": True}
    machine = {key: value for key, value in machine.items() if key not in ("codes", "host")}
    recipe = load_recipe(folder / "dress/flute-rough.toml")
    assert recipe.dress.coolant
    program = build(recipe, Machine.model_validate(machine), ("north-bench", "flute-rough"))
    assert program.accepted
