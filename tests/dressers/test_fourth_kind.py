"""A fourth kind of dresser is its own folder, one line that registers it, and words in a language."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest
from creep_slide import CreepSlide

import gen.dressers
from gen.base.errors import DressblockError
from gen.base.places import data_folder
from gen.shop.load import load_machine
from runner import invoke

DRESSER = """
[dresser]
kind = "creep"
plunge_axis = "U"
toward_wheel = "+"
datum = "260 mm"
parked = "0 mm"
creep_feed = "250 mm/min"
clearance = "4 mm"
feed = ["10 mm/min", "400 mm/min"]
min_stick = "30 mm"
lateral_axis = "Z"
at = {X = "180 mm"}
machine_frame_feeds = true
"""


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(gen.dressers, "KINDS", [*gen.dressers.KINDS, CreepSlide])
    bench = tmp_path / "creeper"
    shutil.copytree(data_folder("machines") / "north-bench", bench)
    text = (bench / "machine.toml").read_text("utf-8")
    table = re.search(r"^\[dresser\]\n.*?(?=^\[)", text, re.MULTILINE | re.DOTALL)
    assert table is not None
    (bench / "machine.toml").write_text(text.replace(table[0], DRESSER + "\n"), "utf-8")
    shutil.copytree(data_folder("templates") / "languages" / "en", tmp_path / "words")
    words = tmp_path / "words" / "words.j2"
    said = words.read_text("utf-8")
    assert '"slide": "' in said
    words.write_text(said.replace('"slide": "', '"creep": "slide creeps all the way in", "slide": "', 1), "utf-8")
    return tmp_path


def command(*words: str) -> str:
    result = invoke(*words)
    assert result.exit_code == 0, result.output
    return result.stdout


def test_its_keys_are_read_and_no_others(shop: Path) -> None:
    dresser = load_machine(shop / "creeper" / "machine.toml").dresser
    assert isinstance(dresser, CreepSlide)
    assert dresser.creep_feed == 250
    path = shop / "creeper" / "machine.toml"
    path.write_text(path.read_text("utf-8").replace("creep_feed", 'rate = "3 mm/min"\ncreep_feed'), "utf-8")
    with pytest.raises(DressblockError, match="rate: only a timed feeder has this key"):
        load_machine(path)


def test_generate_check_and_sheet(shop: Path) -> None:
    out, recipe = shop / "out", shop / "creeper" / "dress" / "flute-rough.toml"
    words = ("--out", str(out), "--language", str(shop / "words"), "--json")
    for more in ((), ("--prove-out",)):
        told = json.loads(command("generate", str(recipe), *words, *more))
        (program,) = told["programs"]
        assert [one for one in program["findings"] if one["severity"] == "error"] == []
    made = out / "creeper" / "flute-rough.ngc"
    assert json.loads(command("check", str(made), "--recipe", str(recipe), "--json"))["findings"] == []
    # no rapid toward the wheel: parked, then the approach at no more than 250 mm/min, the plunge, and straight back
    lines = [line for line in made.read_text("utf-8").splitlines() if line.startswith(("G53 G0 U", "G53 G1 U"))]
    assert [line[:6] for line in lines] == ["G53 G0", "G53 G1", "G53 G1", "G53 G0"]
    assert "slide creeps all the way in" in (out / "creeper" / "flute-rough.txt").read_text("utf-8")


def test_a_planted_fault_is_found(shop: Path) -> None:
    out, recipe = shop / "out", shop / "creeper" / "dress" / "flute-rough.toml"
    command("generate", str(recipe), "--out", str(out), "--language", str(shop / "words"))
    made = out / "creeper" / "flute-rough.ngc"
    made.write_text(made.read_text("utf-8").replace("+8]", "+18]"), "utf-8")
    result = invoke("check", str(made), "--recipe", str(recipe), "--json")
    assert result.exit_code == 1
    assert {"altered", "plunge-depth"} <= {one["rule"] for one in json.loads(result.stdout)["findings"]}
