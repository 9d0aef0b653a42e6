"""Simulated shops go through the commands: what the chosen target costs, against the best one and against always 250.

Each shop plans a trial with ``trial plan``, grinds it as its own part-by-part model has it, reads the log with
``trial read``, and goes on with the next block for as long as it is told to. What a target truly costs is the shop's
own secret: prices, cleared share, loss of the wheel and scatter differ from shop to shop, and nothing of the model is
taken from the package. A shop that is told "cannot-tell" takes the best target until then.

Measured over 150 shops, what a part cost more than at the best target:

===============  =======  ==============  ========================================
                 mean     nine in ten     95 % intervals of the share that held it
===============  =======  ==============  ========================================
trial            1.5 %    within 4.5 %    93.2 %
always 250       6.8 %    within 19.9 %
===============  =======  ==============  ========================================

138 were told a target, 8 to go on after ten readings, and 4 that nothing can be told.

Forty shops of each other kind (mean of the trial, of always 250, and the intervals that held the share), through the
same functions before bends counted in the parts between dresses: square root 0.9 %, 8.7 %, 69 %; saturating 0.4 %,
8.7 %, 81 %; bending upward 1.7 %, 8.4 %, 73 %; autocorrelated noise 0.7 %, 9.9 %, 92 %; a spindle that warms up 0.2 %,
9.9 %, 86 %; a step 1.5 %, 9.9 %, 86 %. Straight loading with independent noise is the model. Outside it the intervals
are too narrow; the choice of the target holds.

``DRESSBLOCK_TRIALS=150 python -m pytest -s tests/trial/test_choice.py`` runs 150 shops and prints the table.
"""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from runner import Command, Shop

from .shops import TARGETS, Diary, filled_in
from .shops import Shop as Simulated
from .shops import shop as drawn

MANY = int(os.environ.get("DRESSBLOCK_TRIALS", "12"))
MOST_READS = 10
SECONDS, DRESSES_A_STICK = 9.0, 15
"""Time of one dress of the demo shop's recipe, and dresses that its stick lasts, as its sheet has them."""


@pytest.fixture
def trial_shop(shop: Shop) -> Shop:
    """The demo shop with a band as wide as the trial."""
    shop.change(shop.recipe, "band = [200, 300]", "band = [170, 310]")
    return shop


def priced(shop: Shop, one: Simulated) -> Path:
    """A copy of the recipe with ``[costs]``, so that a dress costs what the simulated shop pays for it."""
    path = shop.recipe.with_name(f"priced-{one.seed}.toml")
    path.write_text(
        shop.recipe.read_text()
        + '\n[costs]\ncurrency = "EUR"\n'
        + f"machine_hour = {0.7 * one.dress_price / SECONDS * 3600:.4f}\n"
        + f"stick = {0.3 * one.dress_price * DRESSES_A_STICK:.4f}\n"
        + f"wheel_mm = {one.wheel_price:.4f}\n"
    )
    return path


def gone_through(command: Command, shop: Shop, one: Simulated) -> tuple[Any, int]:
    """The last answer of a shop's trial, and the parts that it ground for it."""
    recipe, out = priced(shop, one), shop.root / f"trial-{one.seed}"
    words = ("--targets", ",".join(f"{target:g}" for target in TARGETS), "--parts", one.usual, "--seed", one.seed)
    planned = command("trial", "plan", recipe, *words, "--out", out)
    assert planned.code == 0, planned.err
    diary = Diary(one)
    filled_in(out / "trial.csv", diary)
    for _ in range(MOST_READS):
        read = command("trial", "read", out / "trial.csv", "--limit", f"{one.limit} kW", "--recipe", recipe, "--json")
        assert read.code == 0, read.err
        if read.document["verdict"] != "go-on":
            break
        diary.follow([(run["target"], run["dresses"]) for run in read.document["next"]])
        (out / "trial.csv").write_text(diary.text)
    return read.document, diary.part


def shops(count: int) -> Iterator[Simulated]:
    return (drawn(seed) for seed in range(1000, 1000 + count))


def share(values: list[float], part: float) -> float:
    return sorted(values)[min(len(values) - 1, int(part * len(values)))]


def test_the_chosen_target_costs_little_more_than_the_best(
    command: Command, trial_shop: Shop, capsys: pytest.CaptureFixture[str]
) -> None:
    verdicts: Counter[str] = Counter()
    chosen, always, inside, parts = [], [], [], []
    for one in shops(MANY):
        answer, ground = gone_through(command, trial_shop, one)
        verdicts[answer["verdict"]] += 1
        best = min(one.cost(target) for target in TARGETS)
        taken = answer["best"] or answer["best_so_far"]
        chosen.append(one.cost(taken) / best - 1)
        always.append(one.cost(250) / best - 1)
        parts.append(ground)
        inside += [low <= one.cleared(rung["target"]) <= high for rung in answer["rungs"]
                   for low, high in [rung["cleared_interval"]]]  # fmt: skip
    lines = [f"{MANY} shops: {dict(verdicts)}, {sum(parts) / MANY:.0f} parts a trial"]
    for name, found in (("trial", chosen), ("always 250", always)):
        lines.append(
            f"{name:<11} {sum(found) / MANY:6.1%} above the best on average, 90 % below {share(found, 0.9):.1%}"
        )
    lines.append(f"95 % intervals of the cleared share that hold it: {sum(inside) / len(inside):.1%}")
    with capsys.disabled():
        print("\n" + "\n".join(lines))
    assert sum(chosen) / MANY <= (0.02 if MANY >= 100 else 0.04)
    assert sum(chosen) < sum(always)
    assert sum(inside) / len(inside) >= (0.92 if MANY >= 100 else 0.8)
    assert verdicts["chosen"] > MANY / 2
