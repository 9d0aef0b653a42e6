"""``grit`` at the command line, and the warning that ``generate`` gives."""

from __future__ import annotations

import json
from copy import deepcopy
from typing import Any

import pytest
from click.testing import CliRunner, Result

from gen.base.files import read_toml
from gen.base.places import data_folder
from gen.bounds.build import build
from gen.cli import main
from gen.shop.machine import Machine
from gen.shop.recipe import Recipe


def grit(*words: str) -> Result:
    return CliRunner().invoke(main, ["grit", *words])


def answer(*words: str) -> dict[str, Any]:
    outcome = grit(*words, "--json")
    assert outcome.exit_code == 0, outcome.stderr
    found = json.loads(outcome.stdout)
    assert isinstance(found, dict)
    return found


@pytest.mark.parametrize("name", ["D126", "120/140"])
def test_d126_at_100(name: str) -> None:
    found = answer("--wheel-grit", name, "--concentration", "100")
    assert found["grain_um"] == 115.5
    assert found["gap_um"] == pytest.approx(52, abs=0.5)
    assert found["recommended"] == found["fits"][0] == "F240"
    assert found["fits"][-1] == "F1200"
    assert found["habit"] == ["F150", "F180"]
    assert found["habit_and_gap"] == "gap-finer"


def test_d126_at_75() -> None:
    assert answer("--wheel-grit", "D126", "--concentration", "75")["gap_um"] == pytest.approx(77.5, abs=0.1)


def test_the_answer_in_words_has_habit_and_caveats() -> None:
    said = grit("--wheel-grit", "D126", "--concentration", "100").stdout
    assert said.startswith("F240 or finer gets between the diamonds.")
    for part in (
        "about 51.7 µm",
        "F150 or F180",
        "common practice, no source",
        "three sizes finer than that",
        "only around concentration 60 to 75",
        "from 0.15 to 1.15 times",
        "about half of those grains are coarser",
        "Only some diamonds stand out",
    ):
        assert part in said


def test_habit_and_gap_may_agree() -> None:
    said = grit("--wheel-grit", "D126", "--concentration", "60").stdout
    assert "Here the gap says the same." in said
    assert "asks for" not in said


def test_one_stick_for_a_pack() -> None:
    pack = ("--wheel-grit", "D126", "--concentration", "100", "--wheel-grit", "D54", "--concentration", "75")
    found = answer(*pack)
    alone = [answer("--wheel-grit", *pair) for pair in (("D126", "--concentration", "100"), ("D54", *pack[-2:]))]
    assert [wheel["recommended"] for wheel in found["wheels"]] == [each["recommended"] for each in alone]
    assert found["recommended"] == alone[1]["recommended"] == "F320"
    assert found["gap_um"] == min(each["gap_um"] for each in alone)
    assert grit(*pack).stdout.startswith("F320 or finer serves every wheel; D54 at concentration 75 leaves the least")


def test_a_pack_that_no_stick_serves() -> None:
    pack = ("--wheel-grit", "D126", "--concentration", "100", "--wheel-grit", "D46", "--concentration", "200")
    found = answer(*pack)
    assert found["recommended"] is None
    assert found["fits"] == []
    assert grit(*pack).stdout.startswith("No stick grit of the table serves every wheel")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--wheel-grit", "D126", "--concentration", "209.5"), "no gap left"),
        (("--wheel-grit", "D127", "--concentration", "100"), "nearest is D126"),
        (("--wheel-grit", "D126", "--concentration", "0"), "more than 0"),
        (("--wheel-grit", "D126", "--concentration", "inf"), "a number is wanted"),
        (("--wheel-grit", "D126"), "--concentration"),
        (("--concentration", "100"), "--wheel-grit"),
        (("--wheel-grit", "D126", "--concentration", "100", "--concentration", "75"), "1 times"),
    ],
)
def test_what_cannot_be_answered_is_said(words: tuple[str, ...], said: str) -> None:
    outcome = grit(*words)
    assert outcome.exit_code == 2
    assert said in outcome.stderr
    assert outcome.stdout == ""


# -- the recipe's own check


def warnings(folder: str, name: str, **changes: str | float) -> list[str]:
    """What the rule says of a demo recipe with keys such as ``stick__grit`` set; nothing may be broken."""
    place = data_folder("machines") / folder
    recipe: dict[str, Any] = deepcopy(read_toml(place / "dress" / f"{name}.toml"))
    for key, value in changes.items():
        table, last = key.split("__")
        (recipe[table][-1] if isinstance(recipe[table], list) else recipe[table])[last] = value
    machine = Machine.model_validate(read_toml(place / "machine.toml"))
    found = build(Recipe.model_validate(recipe), machine, (folder, name)).findings
    assert all(finding.severity == "warning" for finding in found), found
    return [finding.message for finding in found if finding.rule == "stick-grit"]


def test_a_stick_that_gets_in_passes() -> None:
    # D64 at 75: 58 µm · 0.671 = 38.9 µm; F280 is the coarsest, median 36.5 µm
    assert warnings("north-bench", "flute-rough") == []
    assert warnings("north-bench", "flute-rough", stick__grit="F280") == []


def test_a_stick_too_coarse_is_warned_of_with_both_sizes_and_what_helps() -> None:
    (said,) = warnings("north-bench", "flute-rough", stick__grit="F240")
    assert "F240 (median 44.5 µm) is too coarse" in said
    assert "D64 at concentration 75, about 39 µm" in said
    assert said.endswith("F280 or finer gets in.")
    (said,) = warnings("north-bench", "flute-rough", stick__grit="F220")
    assert "F220 (53 to 75 µm)" in said


def test_a_size_not_in_the_table_is_not_judged() -> None:
    (said,) = warnings("north-bench", "flute-rough", stick__grit="240")
    assert "not a size of ISO 8486" in said
    (said,) = warnings("north-bench", "flute-rough", wheel__grit="D25")
    assert said.startswith('wheel.grit is "D25"')


def test_in_a_pack_the_wheel_with_the_least_room_counts() -> None:
    assert warnings("pack-grinder", "drill-pack") == []
    (said,) = warnings("pack-grinder", "drill-pack", wheel__concentration=150)
    assert "D54 at concentration 150" in said
