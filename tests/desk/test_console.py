"""How the command behaves at a console: help, interrupts, progress, colours, every exit as JSON where asked."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from gen.base import files
from gen.cli import shared
from runner import Command, Shop

ROOT = Path(__file__).parents[2]


def started(*words: str, folder: Path, **environment: str) -> subprocess.Popen[str]:
    surroundings = {**os.environ, "PYTHONPATH": str(ROOT), **environment}
    return subprocess.Popen(
        [sys.executable, "-m", "gen", *words],
        cwd=folder,
        env=surroundings,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        # a shell that runs the tests in its background has told them to ignore interrupts
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.default_int_handler),
    )


def test_without_a_command_it_prints_its_help(command: Command) -> None:
    outcome = command()
    assert outcome.code == 0
    assert outcome.out == command("--help").out
    assert outcome.err == ""


def test_as_a_module_it_calls_itself_by_its_name(tmp_path: Path) -> None:
    out, err = started("generate", folder=tmp_path).communicate()
    assert out == ""
    assert "Usage: dressblock generate " in err


@pytest.mark.skipif(os.name == "nt", reason="signals of a POSIX system")
@pytest.mark.parametrize("jobs", ["1", "2"])
def test_an_interrupt_ends_it_by_the_custom_of_shells(shop: Shop, jobs: str) -> None:
    recipes = sorted(str(path) for path in shop.root.glob("machines/*/dress/*.toml"))
    running = started("generate", *recipes, "--jobs", jobs, folder=shop.root)
    assert running.stderr is not None
    first = running.stderr.readline()
    assert first.startswith("[1/")
    time.sleep(0.2)
    running.send_signal(signal.SIGINT)
    _, err = running.communicate(timeout=60)
    # a shell calls both 130; Python ends by the signal itself where that came while a class was being made
    assert running.returncode in (130, -signal.SIGINT), err
    assert "interrupted" in err
    assert "Traceback" not in err
    assert not [path for path in shop.root.rglob("*.tmp") if path.is_file()]


DEAF = """
import time
from gen.cli import feed, main

class Deaf:
    def __del__(self):
        raise KeyboardInterrupt

def work(**_):
    Deaf()
    for _ in range(2000):
        time.sleep(0.01)

feed.feed.callback = work
main(["feed"])
"""
"""A command that is interrupted where nothing can be raised, as in what a library in another language calls."""


def test_an_interrupt_that_nobody_heard_is_not_lost(tmp_path: Path) -> None:
    surroundings = {**os.environ, "PYTHONPATH": str(ROOT)}
    outcome = subprocess.run(
        [sys.executable, "-c", DEAF], cwd=tmp_path, env=surroundings, capture_output=True, text=True, timeout=60
    )
    assert outcome.returncode == 130
    assert outcome.stderr.strip() == "interrupted; every file is either as it was or written whole"


def test_what_takes_long_says_what_it_is_at(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shared.Progress, "FIRST", 0.01)
    with shared.Progress("a.nc: reading it"):
        time.sleep(0.2)
    out, err = capsys.readouterr()
    assert out == ""
    assert "s] a.nc: reading it\n" in err


def test_what_is_soon_done_says_nothing(capsys: pytest.CaptureFixture[str]) -> None:
    with shared.Progress("a.nc: reading it"):
        pass
    assert capsys.readouterr() == ("", "")


@pytest.mark.parametrize("colour", [{"NO_COLOR": "1"}, {"FORCE_COLOR": "1"}, {"TERM": "dumb"}])
def test_nothing_is_coloured(shop: Shop, colour: dict[str, str]) -> None:
    for words in (["--help"], ["generate", "nothing.toml"], ["feed", "--rpm", "x"]):
        out, err = started(*words, folder=shop.root, **colour).communicate()
        assert "\x1b" not in out + err


UNUSABLE = {
    "no such option": ("generate", "--nothing"),
    "no argument": ("check",),
    "bad value": ("feed", "--wheel-speed", "fast"),
    "no file": ("generate", "nothing.toml"),
    "no program": ("check", "nothing.nc"),
    "no folder": ("limits", "nothing"),
    "no place": ("splice", "nothing.nc", "nothing.toml"),
    "no log": ("interval", "nothing.csv", "--limit", "2 kW"),
    "no grit": ("grit", "--wheel-grit", "X1", "--concentration", "100"),
    "no control": ("trace", "nothing.nc", "--control", "nothing"),
    "no controls": ("generate", "nothing.toml", "--controls", "nowhere"),
    "no such command": ("nothing",),
}


@pytest.mark.parametrize("words", UNUSABLE.values(), ids=UNUSABLE)
def test_unusable_input_is_a_document_too(command: Command, tmp_path: Path, words: tuple[str, ...]) -> None:
    """One document on standard output, with what standard error says as well."""
    outcome = command(*words, "--json")
    assert outcome.code == 2
    document = json.loads(outcome.out)
    assert document["errors"]
    for error in document["errors"]:
        assert error["message"]
        assert error["message"].splitlines()[0] in outcome.err


def test_a_file_that_somebody_holds_open_is_tried_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """As on Windows, where a virus scanner or an editor keeps a file from being replaced for a moment."""
    held = iter([True, True, False])
    replace = os.replace

    def refused(source: Path, target: Path) -> None:
        if next(held):
            raise PermissionError(13, "Access is denied")
        replace(source, target)

    monkeypatch.setattr(os, "replace", refused)
    monkeypatch.setattr(files, "WINDOWS", True)
    files.write_whole(tmp_path / "a.nc", "new")
    assert (tmp_path / "a.nc").read_text() == "new"
    assert [path.name for path in tmp_path.iterdir()] == ["a.nc"]


def test_a_share_that_keeps_no_permissions_will_do(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "a.nc"
    path.write_text("old")

    def refused(*_: object, **__: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(Path, "chmod", refused)
    files.write_whole(path, "new")
    assert path.read_text() == "new"
