"""Files to begin with: they pass as they stand, they teach, and nothing is written over."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from gen.base.places import data_folder
from gen.shop.load import load_machine, load_recipe

from .conftest import Command


def test_the_starters_pass_as_they_stand(command: Command, tmp_path: Path) -> None:
    machine, recipe = tmp_path / "machines/bench/machine.toml", tmp_path / "machines/bench/dress/first.toml"
    assert command("new", "machine", machine).code == 0
    assert command("new", "recipe", recipe).code == 0
    outcome = command("generate", recipe, "--out", tmp_path / "programs", "--json")
    assert outcome.code == 0
    (program,) = outcome.document["programs"]
    assert program["findings"] == []
    assert command("check", program["program"]).code == 0


def test_a_machine_s_folder_will_do(command: Command, tmp_path: Path) -> None:
    folder = tmp_path / "machines/bench"
    assert command("new", "machine", folder).code == 0
    assert command("new", "recipe", folder).code == 0
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


@pytest.mark.parametrize("kind", ["machine", "recipe"])
def test_what_is_commented_out_works_when_it_is_not(tmp_path: Path, kind: str) -> None:
    """Every key that is offered in a comment is one that the file may have, with the value it is offered with."""
    text = starter(kind)
    offered = re.findall(r"^# (?:(\[[a-z_.]+\])|([a-z_]+) = .*)", text, re.MULTILINE)
    assert len(offered) >= 3
    path = tmp_path / f"{kind}.toml"
    path.write_text(re.sub(r"^# (\[[a-z_.]+\]|[a-z_]+ = )", r"\1", text, flags=re.MULTILINE))
    (load_machine if kind == "machine" else load_recipe)(path)


@pytest.mark.parametrize("kind", ["machine", "recipe"])
def test_the_starters_teach(kind: str) -> None:
    """Most lines with a value say what it is, and the tables are those that the format has."""
    lines = [line for line in starter(kind).splitlines() if re.match(r"[a-z_]+ = ", line)]
    assert sum("#" in line for line in lines) > len(lines) / 2
    assert set(tomllib.loads(starter(kind))) >= ({"axes", "spindle", "dresser"} if kind == "machine" else {"wheel"})
