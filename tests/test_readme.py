"""The README's example is what the program gives."""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from gen import __version__
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


def test_the_walk_leads_from_an_empty_folder_to_a_spliced_cycle(tmp_path: Path) -> None:
    """Word by word in a shell; the remark in its middle is the reader's own work, done as the starters say."""
    lines = block("walk").splitlines(keepends=True)
    (own,) = [number for number, line in enumerate(lines) if line.startswith("# put your own values")]
    in_shell(tmp_path, "".join(lines[:own]))
    files = [tmp_path / "machines/bench/machine.toml", tmp_path / "machines/bench/dress/first.toml"]
    for file in files:
        kept = [line for line in file.read_text().splitlines(keepends=True) if not line.startswith("example = ")]
        file.write_text("".join(kept))
    said = in_shell(tmp_path, "".join(lines[own:]))
    assert {"first.ngc", "first.html", "first-prove-out.ngc"} <= {
        path.name for path in (tmp_path / "programs/bench").iterdir()
    }
    assert "BEGIN DRESS 7001" in (tmp_path / "cycle.ngc").read_text()
    # the one that the text below the walk explains
    assert re.findall(r"(?:warning|error) ([a-z-]+)", said) == ["host-once"]
    assert "cycle.ngc: all bounds hold" in said
    # one screen
    assert len(lines) <= 24


def test_the_datum_is_worked_out_as_the_readme_says(tmp_path: Path) -> None:
    """By hand: p + L + D/2 with 47.5, 150, 125 and with 57.5, 140, 125 mm; both are 260 mm."""
    in_shell(tmp_path, "dressblock new machine machines/bench")
    machine = tmp_path / "machines/bench/machine.toml"
    machine.write_text(machine.read_text().replace("example = true", "# mine"))
    rows = "position_mm,stick_length_mm,wheel_diameter_mm\n47.5,150,125\n57.5,140,125\n"
    (tmp_path / "touches.csv").write_text(rows)
    assert 'datum = "260 mm"' in in_shell(tmp_path, block("datum"))


def in_shell(folder: Path, script: str) -> str:
    """What ``script`` says, run by a shell that stops at the first failure, with the command on its path."""
    path = folder / "bin/dressblock"
    path.parent.mkdir(exist_ok=True)
    path.write_text(f'#!/bin/sh\nPYTHONPATH={README.parent} exec {sys.executable} -m gen "$@"\n')
    path.chmod(0o755)
    surroundings = {**os.environ, "PATH": f"{path.parent}:{os.environ['PATH']}"}
    done = subprocess.run(["bash", "-ec", script], cwd=folder, env=surroundings, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return done.stdout + done.stderr


def test_a_shell_completes_controls_and_languages(tmp_path: Path) -> None:
    """Through the code that the shell itself loads: the function is bash's, the words are a person's."""
    said = in_shell(tmp_path, f"{block('completion')}declare -F _dressblock_completion && complete -p dressblock")
    assert "_dressblock_completion" in said
    for words, expected in (
        ("dressblock trace part.ngc --control r", {"plain,r-variables", "plain,rs274ngc"}),
        ("dressblock feed --language d", {"plain,de"}),
        ("dressblock k", {"plain,keys"}),
    ):
        place = len(words.split()) - 1
        script = f'COMP_WORDS="{words}" COMP_CWORD={place} _DRESSBLOCK_COMPLETE=bash_complete dressblock'
        assert expected <= set(in_shell(tmp_path, script).splitlines())


def test_the_change_log_comes_last_and_names_this_version() -> None:
    heads = re.findall(r"^## (.+)$", README.read_text(), re.MULTILINE)
    assert heads[-1] == "Changes"
    assert f"**{__version__}**" in README.read_text().rpartition("## Changes")[2]
