"""``--jobs``: several files at a time, told in the order in which they were named."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

from gen.base.parallel import in_order
from gen.base.places import data_folder

RECIPES = sorted((data_folder("machines") / "shuttle" / "dress").glob("*.toml"))


def dressblock(*words: str) -> tuple[int, str, str]:
    done = subprocess.run([sys.executable, "-m", "gen.cli", *words], capture_output=True, text=True)
    # on a busy machine a run also says what it is at
    return done.returncode, done.stdout, re.sub(r"(?m)^\[\d+ s\] .*\n", "", done.stderr)


@pytest.mark.parametrize("style", [[], ["--json"]])
def test_two_at_a_time_say_and_write_the_same(tmp_path: Path, style: list[str]) -> None:
    missing = tmp_path / "missing.toml"
    named = [str(RECIPES[0]), str(missing), str(RECIPES[1])]
    one, two = (dressblock("generate", *named, *style, "--out", str(tmp_path / "out"), "--jobs", n) for n in "12")
    assert one == two
    assert one[0] == 2
    assert one[2].index("[1/3]") < one[2].index("missing.toml") < one[2].index("[3/3]")
    written = sorted(path.name for path in (tmp_path / "out" / "shuttle").glob("*.nc"))
    assert written == [path.with_suffix(".nc").name for path in RECIPES]
    checks = [dressblock("check", str(tmp_path / "out"), *style, "--jobs", n) for n in "120"]
    assert checks[0] == checks[1] == checks[2]
    assert checks[0][0] == 0


def test_what_is_slow_still_comes_in_order() -> None:
    """The first item is the slowest by far, and is told first all the same."""
    sizes = [6_000_000, *range(1, 9)]
    assert list(in_order(sum_to, sizes, 2)) == [sum_to(size) for size in sizes]


def sum_to(number: int) -> int:
    return sum(range(number))
