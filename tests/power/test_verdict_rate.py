"""Logs made the same way as the demo ones, many of each kind: how often the verdict is the one built in."""

from __future__ import annotations

from collections import Counter

import numpy as np
import pytest
from shop_logs import GOOD, NOISY, TIMID, WANTS_TRUING, Truth

from gen.power.answer import answer
from gen.power.log import Log, Part

LOGS = 200
LEAST = 194
"""Verdicts rest on intervals that hold 19 times in 20, most of them one-sided, and on creep that is 99 % sure: of 200
logs no more than about 3 % may go wrong, which is twice the 1 to 2 % to expect."""


def made(truth: Truth, chance: np.random.Generator) -> Log:
    """A log of ``truth`` on a machine of another size, drawn by numpy."""
    size = chance.uniform(0.7, 3.0)
    noise = chance.normal(0, truth.noise, 400)
    number, loading, level, parts = 0, (6 - truth.before) * truth.rise, truth.clean, []
    for run in range(truth.runs + 1):
        if run:
            loading *= 1 - truth.clears
            level = truth.clean + truth.wear * (run - 1) + chance.normal(0, truth.unsteady)
        for at in range(truth.every if run else truth.before):
            power = size * (level + loading + noise[number])
            number += 1
            parts.append(Part(number, float(power), dressed=run > 0 and at == 0, trued=False, line=number + 1))
            loading += truth.rise
    return Log(tuple(parts))


@pytest.mark.parametrize("truth", [GOOD, TIMID, WANTS_TRUING, NOISY], ids=lambda truth: truth.verdict)
def test_the_verdict_is_the_one_built_in(truth: Truth) -> None:
    chance = np.random.default_rng(2026)
    verdicts = Counter[str](answer(made(truth, chance), 20.0).verdict for _ in range(LOGS))
    assert verdicts[truth.verdict] >= LEAST, verdicts
