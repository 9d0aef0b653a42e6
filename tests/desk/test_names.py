"""Machines, recipes and folders of every name that a file system allows: written, read back, spliced, compared."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest

from gen.base.places import data_folder
from gen.control.heading import Heading, read_heading
from outside import leave_out
from runner import Command

NAMES = [
    *("with blank", " leading", "trailing ", "two  blanks", "tab\there", "new\nline"),
    *("Fräser", "GRÖSSE", "straße", "naïve", "e\u0301 apart", "\u00e9 whole", "Ærø", "λ", "инструмент", "磨床", "🙂"),
    *("(bracket)", "[square]", "{curly}", "<angle>", "a;b", "a(b", "a)b", "quote'd", 'double"d'),
    *(
        "under_score",
        "#1",
        "100%",
        "a=b",
        "=C3",
        "a+b",
        "a&b",
        "$HOME",
        "`echo`",
        "*",
        "?",
        "~",
        "-dash",
        "..",
        "a.b.c",
    ),
    *("back\\slash", "co,mma", "col:on", "BEGIN DRESS 1", "MACHINE x", "a|b", "os\udcffbytes"),
]
assert len(NAMES) >= 40


@pytest.mark.parametrize("name", NAMES)
def test_a_name_comes_back_from_a_heading(name: str) -> None:
    """In capitals too, as a control without small letters writes it: then but for the case of plain letters."""
    lines = Heading(name, f"{name}.r").lines()
    assert all(line.isascii() and line.isprintable() for line in lines)
    found = read_heading(lines)
    assert found is not None
    assert (found.machine, found.recipe) == (name, f"{name}.r")
    capitals = read_heading([line.upper() for line in lines])
    assert capitals is not None
    assert capitals.machine.lower() == name.lower()


@pytest.mark.parametrize("name", [name for name in NAMES if name != ".."])
def test_a_shop_of_that_name_works(
    command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    """Generated, checked, compared, spliced, checked again, and named in SARIF, where all names are this one."""
    try:
        shop = tmp_path / name
        folder = shop / "machines" / name
        shutil.copytree(data_folder("machines") / "inch-table", folder)
        recipe, host = folder / f"dress/{name}.toml", folder / f"hosts/{name}.nc"
        (folder / "dress/slot-wheel.toml").rename(recipe)
        (folder / "hosts/slot-form.nc").rename(host)
    except OSError:
        leave_out("this file system does not allow the name")
    monkeypatch.chdir(shop)
    recipe, host = recipe.relative_to(shop), host.relative_to(shop)

    made = command("generate", "--", recipe)
    assert made.code == 0, made.err
    (program,) = Path("programs").rglob("*.nc")
    assert (program.parent.name, program.stem) == (name, name)

    sarif = command("check", "--format", "sarif", "--", program)
    assert sarif.code == 0, sarif.err
    spliced = command("splice", "--", host, recipe)
    assert spliced.code == 0, spliced.err
    again = command("check", "--json", "--", host)
    assert again.code == 0, again.err
    assert [one for one in again.document["findings"] if one["rule"] in ("recipe", "altered")] == []

    assert command("generate", "--check", "--", recipe).code == 0
    recipe.write_text(recipe.read_text().replace("aggressiveness = ", "aggressiveness = 1", 1))
    recipe.write_text(recipe.read_text().replace("aggressiveness = 1", "aggressiveness = ", 1))
    program.write_bytes(program.read_bytes().replace(b"G4 X", b"G4  X", 1).replace(b"M9", b"M09", 1))
    drifted = command("generate", "--check", "--", recipe)
    assert drifted.code == 1
    assert "changed by hand" in drifted.err

    broken = command("check", "--format", "sarif", "--", program)
    assert broken.code == 1
    (run,) = json.loads(broken.out)["runs"]
    places = [result["locations"][0]["physicalLocation"]["artifactLocation"] for result in run["results"]]
    assert places
    for place in places:
        parts = urlsplit(place["uri"])
        assert [parts.scheme, parts.netloc, parts.query, parts.fragment] == [""] * 4
        assert Path(unquote(parts.path, errors="surrogateescape")) == program


def test_a_name_longer_than_a_comment_comes_back(command: Command, tmp_path: Path) -> None:
    folder = tmp_path / "machines" / ("Schleifmaschine ä " * 8)
    shutil.copytree(data_folder("machines") / "inch-table", folder)
    assert command("generate", folder / "dress/slot-wheel.toml", "--out", tmp_path / "programs").code == 0
    (program,) = (tmp_path / "programs").rglob("*.nc")
    assert command("check", program).code == 0


def test_a_name_that_no_comment_can_hold_is_refused_before_anything_is_written(
    command: Command, tmp_path: Path
) -> None:
    """On a control of the shop's own, whose comments lack the sign by which other letters are spelled."""
    shutil.copytree(data_folder("templates") / "controls/iso6983", tmp_path / "controls/bare")
    words = tmp_path / "controls/bare/control.toml"
    words.write_text(words.read_text().replace("=+*", "+*"))
    folder = tmp_path / "machines/a b"
    shutil.copytree(data_folder("machines") / "inch-table", folder)
    machine = folder / "machine.toml"
    machine.write_text(machine.read_text().replace('"iso6983"', '"bare"'))
    given = ("--controls", tmp_path / "controls", "--out", tmp_path / "programs")
    outcome = command("generate", folder / "dress/slot-wheel.toml", *given)
    assert outcome.code == 2
    assert "a name of letters A to Z" in outcome.err
    assert not (tmp_path / "programs").exists()
    folder.rename(tmp_path / "machines/a-b")
    assert command("generate", tmp_path / "machines/a-b/dress/slot-wheel.toml", *given).code == 0


def test_two_names_that_only_capitals_tell_apart_are_told(command: Command, tmp_path: Path) -> None:
    for name in ("Bench", "bench"):
        shutil.copytree(data_folder("machines") / "inch-table", tmp_path / "machines" / name)
    command("generate", tmp_path / "machines/Bench/dress/slot-wheel.toml", "--out", tmp_path / "programs")
    (program,) = (tmp_path / "programs").rglob("*.nc")
    outcome = command("check", program)
    assert outcome.code == 2
    assert "differ only in capitals" in outcome.err


def test_the_next_command_is_one_that_a_shell_takes(command: Command, tmp_path: Path) -> None:
    outcome = command("new", "machine", tmp_path / "Werk 2/Bank (alt)")
    assert outcome.code == 0
    assert f"dressblock new recipe '{tmp_path}/Werk 2/Bank (alt)/dress/first.toml'" in outcome.out
