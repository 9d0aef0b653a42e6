"""Invented shops that grind, dress and write a log, part by part; they share nothing with what reads the log.

A shop has a wheel that loads: every part adds some loading, the power follows the loading, and a dress takes
away a share that depends on the target and differs from one dress to the next. It knows what it truly costs.
"""

from __future__ import annotations

import csv
import math
import random
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

TARGETS = (180.0, 220.0, 260.0, 300.0)

LOADINGS: dict[str, Callable[[float], float]] = {
    "straight": lambda parts: parts,
    "root": lambda parts: 2.5 * math.sqrt(parts),
    "saturating": lambda parts: 12 * (1 - math.exp(-parts / 12)),
    "upward": lambda parts: 0.45 * parts**1.35,
}
"""Loading of the power, in straight parts, by parts of loading in the wheel."""


@dataclass
class Shop:
    """One shop. Powers kW, lengths mm, money in the shop's own."""

    seed: int
    clean: float
    rise: float
    most: float
    half: float
    steep: float
    loss_um: float
    harsh: float
    part_um: float
    noise: float
    uneven: float
    gauge_um: float
    dress_price: float
    wheel_price: float
    usual: int = 6
    limit: float = 2.0
    loading: str = "straight"
    follow: float = 0.0
    warming: float = 0.0
    step: float = 0.0
    chance: random.Random = field(default_factory=random.Random)

    def cleared(self, target: float) -> float:
        """The share that a dress clears on average: an S-curve of the target that levels off."""
        return float(self.most / (1 + (self.half / target) ** self.steep))

    def loss(self, target: float) -> float:
        """Radius that a dress takes off the wheel, mm; steeply more once diamonds are pulled out."""
        return self.loss_um / 1000 * (1 + (target / self.harsh) ** 6)

    def power(self, parts: float) -> float:
        return self.clean + self.rise * LOADINGS[self.loading](parts)

    def parts_between(self, target: float) -> int:
        """The most parts with which the last one stays below the limit in 19 of 20 runs, found by trying."""
        left, most = 1 - self.cleared(target), 0
        for parts in range(1, 400):
            loaded = parts * left / (1 - left)
            swing = self.rise * self.uneven * (loaded + parts) / math.sqrt(max(0.05, 1 - left * left))
            if self.power(loaded + parts - 1) + 1.645 * math.hypot(self.noise, swing) > self.limit:
                break
            most = parts
        return most

    def dress_cost(self, target: float) -> float:
        """One dress: seven tenths are time at a target of 250, of which 2.4 s of 9 go by at plunge feed."""
        slower = (6.6 + 2.4 * 250 / target) / 9
        return self.dress_price * (0.7 * slower + 0.3) + self.wheel_price * self.loss(target)

    def cost(self, target: float) -> float:
        """What a part truly costs at ``target``; two dresses a part where not even one part fits."""
        return self.dress_cost(target) / max(0.5, self.parts_between(target))


def shop(seed: int, **changed: object) -> Shop:
    """A shop drawn at random; the same for the same ``seed``."""
    chance = random.Random(f"shop {seed}")
    made = Shop(
        seed=seed,
        clean=chance.uniform(0.8, 1.25),
        rise=chance.uniform(0.04, 0.09),
        most=chance.uniform(0.75, 0.97),
        half=chance.uniform(130, 230),
        steep=chance.uniform(2.5, 8),
        loss_um=chance.uniform(1.5, 5),
        harsh=chance.uniform(200, 330),
        part_um=chance.uniform(0.2, 0.8),
        noise=chance.uniform(0.015, 0.04),
        uneven=chance.uniform(0.02, 0.07),
        gauge_um=chance.uniform(1, 3),
        dress_price=chance.uniform(1.0, 3.0),
        wheel_price=chance.uniform(100, 500),
        usual=chance.choice((5, 6, 6, 8)),
    )
    for name, value in changed.items():
        setattr(made, name, value)
    return made


Order = Sequence[tuple[float, int]]


class Diary:
    """The trial of one shop, run by run, as rows of its log."""

    def __init__(self, one: Shop, radius: float = 62.0) -> None:
        self.shop = one
        self.chance = random.Random(f"diary {one.seed}")
        self.radius = radius
        self.loading = 3.0
        self.part = 0
        self.wander = 0.0
        self.lines = ["part,power_kw,dressed,target,wheel_mm"]
        self.grind(0, None)

    def grind(self, dresses: int, target: float | None) -> None:
        """One run: ``dresses`` at ``target``, then parts as many as usual."""
        one = self.shop
        for _ in range(dresses):
            assert target is not None
            share = one.cleared(target) + self.chance.gauss(0, one.uneven)
            self.loading *= 1 - min(1.0, max(0.0, share))
            self.radius -= one.loss(target) * self.chance.uniform(0.8, 1.2)
        wheel = f"{2 * self.radius + self.chance.gauss(0, one.gauge_um / 1000):.4f}" if dresses else ""
        for at in range(one.usual):
            self.part += 1
            self.wander = one.follow * self.wander + math.sqrt(1 - one.follow**2) * self.chance.gauss(0, one.noise)
            level = one.warming * math.exp(-self.part / 40) + (one.step if self.part > 100 else 0.0)
            power = one.power(self.loading) + level + self.wander
            first = at == 0
            self.lines.append(
                f"{self.part},{power:.3f},{dresses if first else 0},{'' if target is None else f'{target:g}'},"
                f"{wheel if first else ''}"
            )
            self.loading += 1
            self.radius -= one.part_um / 1000 * self.chance.uniform(0.8, 1.2)

    def follow(self, order: Order) -> None:
        for target, dresses in order:
            self.grind(dresses, target)

    @property
    def text(self) -> str:
        return "\n".join(self.lines) + "\n"


def filled_in(log: Path, diary: Diary) -> None:
    """Grinds what the rows of ``log`` ask for, and writes power and diameter into them."""
    for row in list(csv.DictReader(log.read_text().splitlines())):
        if row["dressed"] != "0":
            diary.grind(int(row["dressed"]), float(row["target"]))
    log.write_text(diary.text)


def blocks(one: Shop, count: int, targets: Sequence[float] = TARGETS) -> Iterator[tuple[float, int]]:
    """A shop's own order of ``count`` blocks."""
    chance = random.Random(f"order {one.seed}")
    for _ in range(count):
        block = [(target, dresses) for target in targets for dresses in (1, 2)]
        chance.shuffle(block)
        yield from block
