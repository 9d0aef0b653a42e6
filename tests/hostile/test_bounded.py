"""Files made to take for ever, or all the memory there is: a sentence, and soon."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from gen.base.places import data_folder
from hostile.bounded import command, in_child

SHOP = data_folder("machines") / "north-bench"
RECIPE = (SHOP / "dress/outside-wide.toml").read_text(encoding="utf-8")
MANY = 30_000

TOML: dict[str, tuple[Callable[[], str], str]] = {
    "unknown keys": (lambda: "".join(f"titel{n} = 1\n" for n in range(MANY)), "there is more that is wrong"),
    "unknown tables": (lambda: "".join(f"[a{n}]\n" for n in range(MANY)), "there is more that is wrong"),
    "a deep table": (lambda: f"[{'.'.join(['a'] * 300_000)}]\n", "line 1 has more than 64 points"),
    "a deep key": (lambda: f"{'.'.join(['a'] * 300_000)} = 1\n", "line 1 has more than 64 points"),
    "deep keys": (lambda: f"[{'.a' * 40}]\n".replace("[.", "[") * 9_000, "is not valid TOML"),
    "deep lists": (lambda: "a = " + "[" * 400_000, "nested too deeply"),
    "deep inline tables": (lambda: "a = " + "{a = " * 200_000, "nested too deeply"),
    "a table again and again": (lambda: "[a]\n" * 200_000, "is not valid TOML"),
    "an array of tables": (lambda: RECIPE + '[[wheel.a]]\nname = "x"\n' * 40_000, "not known"),
    "a long key": (lambda: f"{'a' * 1_000_000} = 1\n", "this key is not known"),
    "a long text": (lambda: f'title = "{"x" * 1_000_000}"\n', "1000000 characters long"),
    "digits": (lambda: f"program = {'9' * 1_000_000}\n", "a number in this file is too large"),
    "an exponent": (lambda: RECIPE.replace("7103", "1e999999999"), "a whole number is wanted"),
    "another exponent": (lambda: RECIPE.replace("250", "1e-999999999"), "dress.aggressiveness"),
    "decimals": (lambda: RECIPE.replace("250", f"250.{'1' * 900_000}"), "at most 6 decimals"),
    "a long quantity": (lambda: RECIPE.replace('"6 mm"', f'"{"8" * 900_000} mm"'), "too long for a length"),
    "a long list": (lambda: f"program = [{'1,' * 400_000}]\n", "a whole number is wanted"),
    "larger than a file is": (lambda: "#" * 2_000_000, "larger than 1 MiB"),
    "a thousand lanes": (
        lambda: RECIPE.replace('["12 mm"', '["0.001 mm"').replace('"2 mm"', '"0.000001 mm"'),
        "more than 200 places across the wheel",
    ),
    "a million plunges": (lambda: f"{RECIPE}plunges = 1000000\n", "at most 50"),
}


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    shutil.copytree(SHOP, tmp_path / "shop")
    return tmp_path / "shop"


@pytest.mark.parametrize("kind", TOML)
def test_a_recipe(kind: str, shop: Path) -> None:
    make, says = TOML[kind]
    (shop / "dress/any.toml").write_text(make(), encoding="utf-8")
    code, said = command("generate", shop / "dress/any.toml", "--out", shop / "out", seconds=15)
    assert code == 2, said[-300:]
    assert says in said
    assert len(said) < 20_000


@pytest.mark.parametrize("kind", ["unknown keys", "a deep table", "deep lists", "a long key", "digits"])
def test_a_machine(kind: str, shop: Path) -> None:
    make, says = TOML[kind]
    (shop / "machine.toml").write_text(make(), encoding="utf-8")
    code, said = command("generate", shop / "dress/flute-rough.toml", "--out", shop / "out", seconds=15)
    assert code == 2, said[-300:]
    assert says in said
    assert len(said) < 20_000


def test_many_narrow_lanes_that_are_allowed(shop: Path) -> None:
    """70 plunges, each over an end that the others have cut."""
    text = RECIPE.replace('["12 mm"', '["0.5 mm"').replace('"2 mm"', '"0.15 mm"').replace('"6 mm"', '"0.1 mm"')
    (shop / "dress/any.toml").write_text(text, encoding="utf-8")
    code, said = command("generate", shop / "dress/any.toml", "--out", shop / "out", seconds=60)
    assert code in (0, 1), said


LINES: dict[str, str] = {
    "a line of digits": "G1 X" + "1" * 9,
    "words": "X1 ",
    "brackets": "[1+",
    "comments": "(DRESS HERE)",
    "empty lines": "\n",
    "marks": "(BEGIN DRESS 7101 SEAL 0123456789ABCDEF)\n",
    "unread lines": "FROB\n",
    "blocks": "G1 X1. F100\n",
    "registers": "#501=#501+1\n",
    "conditions": "IF[1]GOTO 1\n",
    "loops": "O1 while [1]\n",
}


@pytest.mark.parametrize("verb", ["trace", "check", "splice"])
@pytest.mark.parametrize("kind", LINES)
def test_two_hundred_thousand_characters_of(kind: str, verb: str, shop: Path) -> None:
    path = shop / "any.ngc"
    path.write_text(LINES[kind] * (200_000 // len(LINES[kind])))
    words: dict[str, tuple[object, ...]] = {
        "trace": ("trace", path, "--control", "rs274ngc", "--json"),
        "check": ("check", path, "--machine", shop / "machine.toml"),
        "splice": ("splice", path, shop / "dress/flute-rough.toml"),
    }
    code, said = command(*words[verb], seconds=20, megabytes=300)
    assert code in (0, 1, 2), said[-300:]


def test_two_hundred_million_characters_in_a_line(shop: Path) -> None:
    path = shop / "any.ngc"
    with path.open("w") as file:
        for _ in range(199):
            file.write("X1" * 500_000)
    for words in (
        ("trace", path, "--control", "iso6983"),
        ("splice", path, shop / "dress/flute-rough.toml"),
    ):
        code, said = command(*words, seconds=30, megabytes=1500)
        assert code in (1, 2), said[-300:]
        assert "64000000 characters" in said
    with path.open("a") as file:
        file.write("X1" * 1_000_000)
    code, said = command("trace", path, "--control", "iso6983", seconds=30, megabytes=1500)
    assert (code, "larger than 200 MB" in said) == (2, True)


def test_a_file_without_an_end(shop: Path) -> None:
    for words in (
        ("check", "/dev/zero", "--machine", shop / "machine.toml"),
        ("generate", "/dev/zero", "--out", shop / "out"),
        ("splice", "/dev/zero", shop / "dress/flute-rough.toml", "--out", shop / "x"),
        ("interval", "/dev/zero", "--limit", "2 kW"),
    ):
        code, said = command(*words, seconds=30, megabytes=1500)
        assert code == 2, (words, said)


LOGS: dict[str, tuple[str, str, int]] = {
    "an open quote": ('"' * 4_000_000, "is no readable CSV", 2),
    "commas": ("," * 8_000_000, "names of columns and no rows", 2),
    "one part again and again": ("1,2,0\n" * 100_000, "no dress is marked", 0),
    "more than is read": ("1,2,0\n" * 2_000_000, "larger than 8 MiB", 2),
    "a gap in the numbers": (
        "".join(f"{n + (n > 30) * 10**11},{2 + n % 6 / 10},{n % 6 == 0:d}\n" for n in range(60)),
        "parts",
        0,
    ),
    "a long number": ("1," + "9" * 100_000 + ",0\n", "a finite number is wanted", 2),
}


@pytest.mark.parametrize("kind", LOGS)
def test_a_log(kind: str, tmp_path: Path) -> None:
    rows, says, wanted = LOGS[kind]
    (tmp_path / "log.csv").write_text("part,power_kw,dressed\n" + rows)
    code, said = command("interval", tmp_path / "log.csv", "--limit", "2 kW", seconds=60, megabytes=700)
    assert code == wanted, said[-300:]
    assert says in said


def test_the_limits_do_stop_a_child() -> None:
    def works() -> tuple[int, str]:
        while True:
            pass

    def fills() -> tuple[int, str]:
        return len(bytearray(800 << 20)), ""

    assert in_child(works, seconds=1)[0] < 0
    assert in_child(fills, megabytes=400) == (70, "MemoryError: ")
    assert in_child(lambda: (5, "five"), megabytes=400) == (5, "five")
