"""Logs of an invented shop, made with a built-in truth; ``python tests/power/shop_logs.py`` writes the demo ones.

Each run of parts loads the wheel by ``rise`` kW a part; a dress takes away the
share ``clears`` of all the loading there is; ``wear`` kW a dress is what no dress
takes away; ``unsteady`` is how much one dress differs from the next. A log begins
``clean`` after truing, or with the loading at ``rest`` and ``before`` parts of a
run; every so many dresses, ``double``, are made twice in a row.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal

from gen.base.places import data_folder


@dataclass(frozen=True)
class Truth:
    verdict: str
    clean: float = 1.1
    rise: float = 0.12
    every: int = 6
    runs: int = 12
    clears: float = 1.0
    wear: float = 0.0
    noise: float = 0.03
    unsteady: float = 0.02
    before: int = 3
    begins: Literal["clean", "rest"] = "rest"
    double: int = 0


GOOD = Truth("good", begins="clean", before=0)
TIMID = Truth("too-gentle", clean=0.85, rise=0.04, every=8, runs=16, clears=0.3, noise=0.02, double=3)
STEADY = replace(TIMID, verdict="steady", double=0)
WANTS_TRUING = Truth("true-the-wheel", rise=0.08, wear=0.03, runs=14)
NOISY = Truth("unknown", clean=0.9, rise=0.02, every=4, noise=0.15)

DEMO = {
    "north-bench/logs/flute-rough-good.csv": (GOOD, 1),
    "south-bench/logs/gash-cup-timid.csv": (TIMID, 2),
    "south-bench/logs/gash-cup-steady.csv": (STEADY, 5),
    "north-bench/logs/flute-finish-wants-truing.csv": (WANTS_TRUING, 3),
    "shuttle/logs/notch-wheel-noisy.csv": (NOISY, 4),
}
"""The demo shop's logs, each with its truth and the seed of its chance."""


def rows(truth: Truth, seed: int) -> Iterator[tuple[int, float, int, int]]:
    """Part, power in kW, the number of dresses before it, and 1 on the first part after truing."""
    chance = random.Random(seed)
    number, level = 0, truth.clean
    clean = truth.begins == "clean"
    loading = 0.0 if clean else (1 / truth.clears * truth.every - truth.before) * truth.rise
    for run in range(truth.runs + 1):
        parts = truth.every if run else truth.before
        dresses = 2 if truth.double and run % truth.double == 0 else 1
        if run:
            loading *= (1 - truth.clears) ** dresses
            level = truth.clean + truth.wear * (run - 1) + chance.gauss(0, truth.unsteady)
        for part in range(parts):
            number += 1
            marks = (dresses if run and not part else 0, int(clean and number == 1))
            yield number, level + loading + chance.gauss(0, truth.noise), *marks
            loading += truth.rise


def text(truth: Truth, seed: int) -> str:
    trued = truth.begins == "clean"
    lines = ["part,power_kw,dressed" + ",trued" * trued]
    for number, power, mark, first in rows(truth, seed):
        lines.append(f"{number},{power:.3f},{mark}" + f",{first}" * trued)
    return "\n".join(lines) + "\n"


def varied(truth: Truth, seed: int) -> Truth:
    """The same kind of log from another machine."""
    chance = random.Random(seed)
    size = chance.uniform(0.7, 3.0)
    return replace(
        truth,
        clean=truth.clean * size * chance.uniform(0.8, 1.2),
        rise=truth.rise * size,
        wear=truth.wear * size,
        noise=truth.noise * size,
        unsteady=truth.unsteady * size,
        every=truth.every + chance.choice((0, 0, 1)),
        runs=truth.runs + chance.choice((0, 2, 6)),
    )


def write(root: Path) -> None:
    for name, (truth, seed) in DEMO.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text(truth, seed), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    write(data_folder("machines"))
