"""``grit`` at the command line, and the warning that ``generate`` gives."""

from __future__ import annotations

import json
from copy import deepcopy
from typing import Any

import pytest
from click.testing import Result

from gen.base.files import read_toml
from gen.base.places import data_folder
from gen.bounds.build import build
from gen.shop.machine import Machine
from gen.shop.recipe import Recipe
from runner import invoke


def grit(*words: str) -> Result:
    return invoke("grit", *words)


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
    assert found["fits"][0] == "F240"
    assert found["fits"][-1] == "F1200"
    assert found["habit"] == ["F150", "F180"]
    assert found["recommended"] == "F180"
    assert found["gap_agrees"] is False


def test_d126_at_75() -> None:
    assert answer("--wheel-grit", "D126", "--concentration", "75")["gap_um"] == pytest.approx(77.5, abs=0.1)


def test_the_answer_in_words_has_the_habit_first_and_the_gap_as_information() -> None:
    said = grit("--wheel-grit", "D126", "--concentration", "100").stdout
    assert said.startswith("Recommended: a stick of F180.")
    for part in (
        "F150 or F180: one or two sizes finer than the diamonds (common practice, no source)",
        "51.7 µm from diamond to diamond",
        "for information, not a limit",
        "gaps twice as wide",
        "no reason to change a stick that opens the wheel",
    ):
        assert part in said


def test_habit_and_gap_may_agree() -> None:
    assert answer("--wheel-grit", "D126", "--concentration", "60")["gap_agrees"] is True


def test_one_stick_for_a_pack() -> None:
    pack = ("--wheel-grit", "D126", "--concentration", "100", "--wheel-grit", "D54", "--concentration", "75")
    found = answer(*pack)
    alone = [answer("--wheel-grit", *pair) for pair in (("D126", "--concentration", "100"), ("D54", *pack[-2:]))]
    assert [wheel["recommended"] for wheel in found["wheels"]] == [each["recommended"] for each in alone]
    assert found["recommended"] == alone[1]["recommended"] == "F280"
    assert grit(*pack).stdout.startswith("Recommended for every wheel: a stick of F280; D54 has the finest diamonds.")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--wheel-grit", "D126", "--concentration", "209.5"), "no gap left"),
        (("--wheel-grit", "D127", "--concentration", "100"), "Ask the wheel's maker which is meant"),
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


def test_the_usual_stick_and_finer_ones_pass() -> None:
    # D64 lies between 53 and 63 µm; F230 (median 53 µm) and F240 are one and two sizes finer
    assert warnings("north-bench", "flute-rough") == []
    for usual in ("F230", "F240", "F280"):
        assert warnings("north-bench", "flute-rough", stick__grit=usual) == []


def test_common_practice_is_never_warned_of_at_any_concentration() -> None:
    for concentration in (50, 75, 100, 150):
        assert warnings("north-bench", "flute-rough", stick__grit="F230", wheel__concentration=concentration) == []


def test_a_stick_coarser_than_usual_is_warned_of_with_what_is_usual() -> None:
    (said,) = warnings("north-bench", "flute-rough", stick__grit="F220")
    assert "F220 (53 to 75 µm) is coarser than the usual stick for D64 diamonds" in said
    assert said.endswith("is F230 or F240 (common practice, no source).")


def test_a_size_not_in_the_table_is_not_judged() -> None:
    (said,) = warnings("north-bench", "flute-rough", stick__grit="240")
    assert "not a size of ISO 8486" in said
    (said,) = warnings("north-bench", "flute-rough", wheel__grit="D25")
    assert said.startswith('wheel.grit is "D25"')


def test_in_a_pack_the_finest_diamonds_count() -> None:
    assert warnings("pack-grinder", "drill-pack") == []
    (said,) = warnings("pack-grinder", "drill-pack", stick__grit="F220")
    assert "D54" in said
