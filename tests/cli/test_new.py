"""Files to begin with: they pass as they stand, they teach, and nothing is written over."""

from __future__ import annotations

import json
import re
import tomllib
from pathlib import Path

import pytest

from gen.base.places import data_folder
from gen.jobs.starters import DRESSERS
from gen.shop.load import load_machine, load_recipe
from runner import Command


def owned(path: Path) -> None:
    """As somebody does who has put in their own values: the line that says otherwise goes."""
    lines = path.read_text().splitlines(keepends=True)
    assert len([line for line in lines if line.startswith("example = ")]) == 1
    path.write_text("".join(line for line in lines if not line.startswith("example = ")))


@pytest.mark.parametrize("dresser", DRESSERS)
def test_the_starters_pass_once_their_values_are_one_s_own(command: Command, tmp_path: Path, dresser: str) -> None:
    machine, recipe = tmp_path / "machines/bench/machine.toml", tmp_path / "machines/bench/dress/first.toml"
    assert command("new", "machine", machine, "--kind", dresser).code == 0
    assert command("new", "recipe", recipe).code == 0
    for file in (recipe, machine):
        outcome = command("generate", recipe, "--out", tmp_path / "programs", "--json")
        assert outcome.code == 2
        (error,) = outcome.document["errors"]
        assert (error["file"], error["key"]) == (str(file), "example")
        assert not (tmp_path / "programs").exists()
        owned(file)
    outcome = command("generate", recipe, "--out", tmp_path / "programs", "--json")
    assert outcome.code == 0
    (program,) = outcome.document["programs"]
    assert [one for one in program["findings"] if one["severity"] == "error"] == []
    assert command("check", program["program"]).code == 0


@pytest.mark.parametrize("kind", ["machine", "recipe"])
def test_the_schema_that_a_starter_names_lies_beside_it(command: Command, tmp_path: Path, kind: str) -> None:
    """By the comment that editors of TOML look for in the first line."""
    assert command("new", kind, tmp_path / f"{kind}.toml").code == 0
    first = (tmp_path / f"{kind}.toml").read_text().splitlines()[0]
    named = first.removeprefix("#:schema ")
    assert json.loads((tmp_path / named).read_text()) == json.loads(command("schema", kind).out)


def test_a_starter_says_how_git_keeps_line_ends() -> None:
    assert re.search(r"^#   \S+ -text$", starter("machine"), re.MULTILINE)


def test_a_machine_s_folder_will_do(command: Command, tmp_path: Path) -> None:
    folder = tmp_path / "machines/bench"
    assert command("new", "machine", folder).code == 0
    assert command("new", "recipe", folder).code == 0
    for file in ("machine.toml", "dress/first.toml"):
        owned(folder / file)
    assert command("limits", tmp_path / "machines").code == 0


@pytest.mark.parametrize("kind", ["machine", "recipe"])
def test_nothing_is_written_over(command: Command, tmp_path: Path, kind: str) -> None:
    path = tmp_path / "mine.toml"
    path.write_text("mine")
    outcome = command("new", kind, path)
    assert outcome.code == 2
    assert "is kept" in outcome.err
    assert path.read_text() == "mine"


def test_a_folder_that_cannot_be_made_is_said(command: Command, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    outcome = command("new", "machine", tmp_path / "file/bench/machine.toml")
    assert outcome.code == 2
    assert "cannot be made" in outcome.err


def starter(kind: str) -> str:
    return (data_folder("templates") / f"starters/{kind}.toml").read_text()


STARTERS = ["machine", "machine-table", "machine-timed", "recipe"]


@pytest.mark.parametrize("kind", STARTERS)
def test_what_is_commented_out_works_when_it_is_not(tmp_path: Path, kind: str) -> None:
    """Every key that is offered in a comment is one that the file may have, with the value it is offered with."""
    text = starter(kind)
    offered = re.findall(r"^# (?:(\[[a-z_.]+\])|([a-z_]+) = .*)", text, re.MULTILINE)
    assert len(offered) >= 2
    path = tmp_path / f"{kind}.toml"
    path.write_text(re.sub(r"^# (\[[a-z_.]+\]|[a-z_]+ = )", r"\1", text, flags=re.MULTILINE))
    owned(path)
    (load_recipe if kind == "recipe" else load_machine)(path)


@pytest.mark.parametrize("kind", STARTERS)
def test_the_starters_teach(kind: str) -> None:
    """Most lines with a value say what it is, and the tables are those that the format has."""
    lines = [line for line in starter(kind).splitlines() if re.match(r"[a-z_]+ = ", line)]
    assert sum("#" in line for line in lines) > len(lines) / 2
    assert set(tomllib.loads(starter(kind))) >= ({"axes", "spindle", "dresser"} if kind != "recipe" else {"wheel"})
