"""Each target of the fuzzer for a few seconds; ``DRESSBLOCK_FUZZ_SECONDS`` asks for more."""

from __future__ import annotations

import importlib.util
import os
import subprocess
import sys
from pathlib import Path

import pytest

from gen.base.errors import DressblockError
from hostile.fuzz.targets import READERS, TARGETS, outcome, seeds

SECONDS = int(os.environ.get("DRESSBLOCK_FUZZ_SECONDS", "2"))
GUIDED = importlib.util.find_spec("atheris") is not None


def fuzzed(target: str, folder: Path, program: str = "") -> tuple[int, str]:
    """Exit and output of the fuzzer; ``program`` is Python that runs before it."""
    words = [target, "--seconds", str(SECONDS), "--found", str(folder)]
    start = (
        f"import runpy, sys\n{program}\nsys.argv[1:] = {words!r}\nrunpy.run_module('hostile.fuzz', None, '__main__')"
    )
    here = Path(__file__).parents[1]
    environment = {**os.environ, "PYTHONPATH": f"{here.parent}{os.pathsep}{here}", "TMPDIR": str(folder)}
    done = subprocess.run(
        [sys.executable, "-c", start], capture_output=True, text=True, env=environment, cwd=here.parent, check=False
    )
    return done.returncode, done.stdout + done.stderr


@pytest.mark.parametrize("target", sorted(set(TARGETS) - set(READERS)))
def test_nothing_but_a_sentence_comes_out(target: str, tmp_path: Path) -> None:
    code, said = fuzzed(target, tmp_path)
    assert code == 0, said[-3000:]
    assert ("stat::number_of_executed_units" if GUIDED else "without coverage") in said


def test_what_fails_is_told_and_kept(tmp_path: Path) -> None:
    """The fuzzer itself: a target that breaks on a word from its seeds is found out."""
    code, said = fuzzed("log", tmp_path, "import gen.power.log as log\nlog.read_log = lambda path: {}['broken']")
    assert code != 0
    assert "KeyError: 'broken'" in said
    assert any(path.is_file() for path in tmp_path.iterdir())


@pytest.mark.parametrize("target", TARGETS)
def test_the_seeds_are_good(target: str) -> None:
    assert len(list(seeds(target))) >= 3
    for data in seeds(target):
        outcome(target, data)


FOUND = {
    "host": [
        b"(BEGIN DRESS 7101 SEAL 0123456789ABCDEF)\n\xff\n(END DRESS 7101)\nM2\n",
        b"(BEGIN DRESS " + b"9" * 5000 + b" SEAL 0123456789ABCDEF)\n(END DRESS 1)\nM2\n",
        b"(DRESS HERE)\n#" + b"9" * 5000 + b"=1\nM2\n",
        b"G1" + b"\xff" * 70 + b" Y12\n(DRESS HERE)\nM2\n",
    ]
}
"""What the fuzzer found once."""


@pytest.mark.parametrize(("target", "data"), [(target, data) for target, found in FOUND.items() for data in found])
def test_what_was_found_stays_mended(target: str, data: bytes) -> None:
    try:
        outcome(target, data)
    except DressblockError:
        pytest.fail("a target tells what it was told itself")
