"""The README's example is what the program gives."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from runner import Command, Shop
from trial.demo_log import LOG

README = Path(__file__).parent.parent / "README.md"


def block(name: str) -> str:
    """The fenced text that follows the comment ``<!-- name -->`` in the README."""
    found = re.search(rf"<!-- {name} -->\s*```\w*\n(.*?)```", README.read_text(), re.DOTALL)
    assert found, f"the README has no block {name}"
    return found[1]


def test_the_first_paragraph_states_the_job() -> None:
    title, paragraph = README.read_text().split("\n\n")[:2]
    assert title == "# dressblock"
    assert "opens" in paragraph or "open the wheel" in paragraph
    assert "refuses to write it unless every bound holds" in paragraph


def test_the_program_shown_is_the_program_written(command: Command, shop: Shop) -> None:
    command("generate", shop.recipe, "--out", shop.out)
    text = (shop.out / "north-bench/flute-rough.ngc").read_text()
    body = text[text.index("(every mode stated") : text.index("M30")]
    assert block("program") == body


def test_the_sheet_shown_is_the_sheet_written(command: Command, shop: Shop) -> None:
    command("generate", shop.recipe, "--out", shop.out)
    sheet = (shop.out / "north-bench/flute-rough.txt").read_text()
    assert block("sheet").strip() in sheet


def test_the_refusal_shown_is_the_refusal_given(command: Command, shop: Shop) -> None:
    shop.change(shop.machine, '"400 mm/min"', '"240 mm/min"')
    outcome = command("generate", shop.recipe, "--out", shop.out)
    given = outcome.err.replace(str(shop.recipe), "machines/north-bench/dress/flute-rough.toml")
    assert block("refusal") == given


@pytest.mark.parametrize("name", ["interval", "trial"])
def test_the_answer_shown_is_the_answer_given(command: Command, shop: Shop, name: str) -> None:
    words = shlex.split(block(name))
    assert words[0] == ".venv/bin/dressblock"
    outcome = command(*(shop.root / word if word.startswith("machines/") else word for word in words[1:]))
    assert block(f"{name} answer") == outcome.out


def test_the_trial_is_planned_as_the_readme_says(command: Command, shop: Shop) -> None:
    (line,) = (line for line in README.read_text().splitlines() if "dressblock trial plan machines" in line)
    words = [shop.root / word if word.startswith("machines/") else word for word in shlex.split(line)[1:]]
    assert command(*words[:-1], shop.out).code == 0
    planned = [row.split(",") for row in (shop.out / "trial.csv").read_text().splitlines()]
    written = [row.split(",") for row in (shop.root / "machines" / LOG).read_text().splitlines()]
    # the demo log is this plan, filled in
    assert [[row[0], row[2], row[3]] for row in planned] == [[row[0], row[2], row[3]] for row in written]


@pytest.mark.parametrize("name", ["demo", "tests"])
def test_each_of_the_two_commands_is_one_line(name: str) -> None:
    assert block(name).count("\n") == 1


def test_ci_runs_the_command_that_the_readme_gives() -> None:
    assert "README.md" in (README.parent / ".ci/run").read_text()
