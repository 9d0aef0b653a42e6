"""The judge, the table of ``limits`` and the sheet give one verdict on every quantity.

The pairs of recipe and machine are drawn with a seed of their own, many of them
so that a quantity lies just on its limit, where rounding decides.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from changed import changed
from gen.base.errors import DressblockError
from gen.base.places import data_folder
from gen.bounds.build import build
from gen.control.draft import Program
from gen.jobs.limits import rows
from gen.paper.sheet.limits import limit_rows
from gen.paper.shown import Shown
from gen.shop.load import load_machine, load_recipe
from gen.shop.machine import Machine
from gen.shop.recipe import Recipe
from runner import invoke
from slide_bench import MACHINE, RECIPE

DEMO = sorted(data_folder("machines").glob("*/dress/*.toml"))

RULES = {
    "feed": "plunge-feed",
    "axis-feed": "axis-feed",
    "aggressiveness": "aggressiveness",
    "inside-edge": "aggressiveness",
    "small-end": "aggressiveness",
    "valve": "aggressiveness",
    "removal": "removal",
    "overhang": "overhang",
    "spindle": "spindle-range",
    "marking": "wheel-speed",
    "wheel-speed": "wheel-speed",
    "depth": "plunge-depth",
    "bedding": "plunge-depth",
    "clearance": "rapid-clearance",
    "stand-off": "rapid-clearance",
    "slot": "shoulder",
    "stick-left": "stick-length",
    "stick-left, guard": "stick-length",
    "forward": "axis-travel",
    "back": "axis-travel",
    "position": "axis-travel",
    "approach": "plunge-feed",
    "approach, axis": "axis-feed",
}
"""Which rule's finding a measure that does not hold must have made."""


def agree(program: Program) -> None:
    errors = {finding.rule for finding in program.findings if finding.severity == "error"}
    broken = {measure.quantity for measure in program.measures if not measure.holds}
    assert {measure.quantity for measure in program.measures} <= RULES.keys()
    assert {RULES[quantity] for quantity in broken} <= errors
    told = {one.quantity for one in program.measures if one.told and not one.holds}
    table = [row for row in rows(program) if not row.holds]
    page = [row for row in limit_rows(program.measures, Shown(program.dress.machine.units)) if not row.holds]
    assert bool(table) == bool(told)
    # the sheet says the marking in revolutions only
    assert bool(page) == bool(told - {"wheel-speed"})
    assert all(row.margin <= 0 for row in table)


@pytest.mark.parametrize("path", DEMO, ids=lambda path: path.stem)
def test_of_the_demo_shop(path: Path) -> None:
    machine = path.parents[1]
    program = build(load_recipe(path), load_machine(machine / "machine.toml"), (machine.name, path.stem))
    agree(program)
    assert program.accepted
    assert all(measure.holds for measure in program.measures)


def drawn(count: int) -> Iterator[tuple[dict[str, Any], dict[str, Any]]]:
    """Changes to the bench's recipe and machine; the feed asked for is 1.2 · target at 20 m/s."""
    draw = random.Random(20)
    for _ in range(count):
        target = draw.randrange(150, 350)
        feed = Decimal(target) * Decimal("1.2")
        near = [feed, feed, feed + Decimal("0.5"), feed - Decimal("0.5"), Decimal(400)]
        recipe = {
            "dress__aggressiveness": target,
            "dress__band": draw.choice([[target, 400], [100, target], [target - 20, target + 20], [200, 300]]),
            "dress__plunge": f"{draw.randrange(2, 12)} mm",
            "dress__wheel_speed": f"{draw.choice([20, 20, 32, 62, 63])} m/s",
        }
        machine = {
            "dresser__feed": ["10 mm/min", f"{draw.choice(near)} mm/min"],
            "axes__U__max_feed": f"{draw.choice(near)} mm/min",
            "dresser__max_removal": f"{draw.choice(near) * 200} mm3/min",
            "dresser__max_plunge": f"{draw.randrange(2, 20)} mm",
            "dresser__max_overhang": f"{draw.choice([119, 120, 140, 150])} mm",
            "dresser__min_stick": f"{draw.choice([30, 40, 141, 142, 143])} mm",
            "axes__U__travel": ["0 mm", f"{draw.choice([180, 188, 190, 192])} mm"],
        }
        some = draw.sample(sorted(machine), draw.randrange(3))
        yield recipe, {key: machine[key] for key in some}


def test_of_drawn_pairs() -> None:
    accepted = refused = 0
    for recipe, machine in drawn(40):
        try:
            program = build(
                Recipe.model_validate(changed(RECIPE, **recipe)),
                Machine.model_validate(changed(MACHINE, **machine)),
                ("bench", "opening"),
            )
        except DressblockError:
            continue
        agree(program)
        accepted, refused = accepted + program.accepted, refused + (not program.accepted)
    assert accepted >= 5
    assert refused >= 10


def test_a_target_on_the_edge_of_its_band(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """250 in a band that ends at 250: what rounding to whole rpm takes it past is no breach, for any of the three."""
    folder = tmp_path / "machines/north-bench"
    (folder / "dress").mkdir(parents=True)
    shop = data_folder("machines") / "north-bench"
    (folder / "machine.toml").write_text((shop / "machine.toml").read_text())
    text = (shop / "dress/flute-rough.toml").read_text()
    assert "band = [200, 300]" in text
    recipe = folder / "dress/flute-rough.toml"
    recipe.write_text(text.replace("band = [200, 300]", "band = [200, 250]"))
    monkeypatch.chdir(tmp_path)
    written = invoke("generate", str(recipe), "--out", "out")
    assert (written.exit_code, "all bounds hold" in written.output) == (0, True)
    table = invoke("limits", "machines")
    assert (table.exit_code, "BROKEN" in table.output) == (0, False)
    sheets = [path.read_text() for path in (tmp_path / "out").rglob("*.txt")]
    assert sheets
    assert not any("EXCEEDED" in sheet for sheet in sheets)
