"""The sizes of grains: diamonds after ISO 6106, stick grains after ISO 8486 (FEPA F).

The tables are written from memory, but for what the project's design page
states: D126 (120/140 mesh, 106 to 125 µm), F220 (53 to 75 µm) and the medians
of F240 to F400. A sieved size is a pair of sieve openings: for diamonds those
between which ISO 6106 has the grains lie, for F4 to F220 those that hold the
bulk of a size after ISO 8486-1. F230 and finer are sized by settling (ISO
8486-2): the median, its tolerance, and the sizes that at most 3 % of the grains
exceed and at least 94 % (F800 and coarser; below that, 80 %) reach.

Two figures stand for a size. As diamonds it is the middle of its sieve openings.
As stick grains, held against a gap, a sieved size is its coarser opening, which
the standard guarantees, and a settled size its median, which is what is quoted of
it and what it is made to; about half of its grains are coarser than that.
"""

from __future__ import annotations

import itertools
import re
from functools import lru_cache
from typing import Literal

from gen.base.dataclass import dataclass
from gen.base.errors import DressblockError, listed, nearest, said


@dataclass(frozen=True, slots=True)
class Grain:
    """One size. ``um`` is its middle or median, ``low`` and ``high`` its published limits, all µm.

    ``mesh`` is the pair of US sieves of a diamond size, ``tolerance`` that of a median.
    """

    name: str
    um: float
    low: float
    high: float
    kind: Literal["sieved", "settled"]
    mesh: str | None = None
    tolerance: float | None = None

    @property
    def needs_um(self) -> float:
        """The gap that a stick grain of this size needs, µm: its coarser sieve opening, or its median."""
        return self.high if self.kind == "sieved" else self.um


_OPENINGS = (1180, 1000, 850, 710, 600, 500, 425, 355, 300, 250, 212, 180, 150, 125, 106, 90, 75, 63, 53, 45, 38)
_MESHES = (16, 18, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 100, 120, 140, 170, 200, 230, 270, 325, 400)
_SIEVES = dict(zip(_MESHES, _OPENINGS, strict=True))
"""Openings in µm of the US sieves."""


def _sieved(name: str, high: int, low: int, mesh: str | None = None) -> Grain:
    return Grain(name, (low + high) / 2, low, high, "sieved", mesh)


def _settled(name: str, high: float, median: float, tolerance: float, low: float) -> Grain:
    return Grain(name, median, low, high, "settled", tolerance=tolerance)


def _diamond(coarse: int, fine: int, more: int) -> Grain:
    """The size between two sieves, whose number is so many ``more`` than the coarser opening."""
    return _sieved(f"D{_SIEVES[coarse] + more}", _SIEVES[coarse], _SIEVES[fine], f"{coarse}/{fine}")


DIAMONDS = tuple(_diamond(coarse, fine, 1) for coarse, fine in itertools.pairwise(_MESHES))
"""Diamond sizes, the coarsest first."""

WIDE_DIAMONDS = tuple(_diamond(*sieves, 2) for sieves in ((16, 20), (20, 30), (30, 40), (40, 50), (60, 80)))
"""Diamond sizes that span two of the narrow ones."""

_FIRST_STICKS = (4, 5, 6, 7, 8, 10, 12, 14, 16, 20, 22, 24, 30, 36, 40, 46, 54, 60, 70, 80, 90, 100, 120)
"""The stick sizes that lie between neighbouring sieves, from that of 5.6 mm on."""

STICKS = (
    *(
        _sieved(f"F{number}", *openings)
        for number, openings in zip(
            _FIRST_STICKS,
            itertools.pairwise((5600, 4750, 4000, 3350, 2800, 2360, 2000, 1700, 1400, *_OPENINGS)),
            strict=False,
        )
    ),
    _sieved("F150", 106, 75),
    _sieved("F180", 90, 63),
    _sieved("F220", 75, 53),
    _settled("F230", 82, 53.0, 3.0, 34),
    _settled("F240", 70, 44.5, 2.0, 28),
    _settled("F280", 59, 36.5, 1.5, 22),
    _settled("F320", 49, 29.2, 1.5, 16.5),
    _settled("F360", 40, 22.8, 1.5, 12),
    _settled("F400", 32, 17.3, 1.0, 8),
    _settled("F500", 25, 12.8, 1.0, 5),
    _settled("F600", 19, 9.3, 1.0, 3),
    _settled("F800", 14, 6.5, 1.0, 2),
    _settled("F1000", 10, 4.5, 0.8, 1),
    _settled("F1200", 7, 3.0, 0.5, 1),
)
"""Stick sizes, the coarsest first."""


def diamond(text: str) -> Grain:
    """The diamond size called ``text``: a D-number, or a pair of US sieves such as 120/140.

    :class:`DressblockError` with the nearest known size if there is none of that name.
    """
    found = _named(text, (*DIAMONDS, *WIDE_DIAMONDS))
    if found is None:
        raise DressblockError(_unknown(text))
    return found


@lru_cache(maxsize=200)
def known_diamond(text: str) -> Grain | None:
    """As :func:`diamond`; None for an unknown name."""
    return _named(text, (*DIAMONDS, *WIDE_DIAMONDS))


@lru_cache(maxsize=200)
def known_stick(text: str) -> Grain | None:
    """The stick size called ``text``, such as F240; None if there is none of that name."""
    return _named(text, STICKS)


def _named(text: str, table: tuple[Grain, ...]) -> Grain | None:
    wanted = re.sub(r"\s+", "", text).upper()
    return next((grain for grain in table if wanted in (grain.name, grain.mesh)), None)


def _unknown(text: str) -> str:
    read = f"read {said(text)}; a diamond size after ISO 6106 is wanted"
    wanted = re.sub(r"\s+", "", text).upper()
    number = re.fullmatch(r"D?([0-9]{1,4})", wanted)
    if number:
        return f"{read}. {_two_readings(int(number[1]))}"
    close = nearest(wanted, [grain.mesh or "" for grain in DIAMONDS])
    hint = f" (did you mean {close}?)" if close else ""
    return f"{read}, such as {listed(('D126', 'its pair of US sieves, 120/140'))}{hint}."


def _two_readings(number: int) -> str:
    """What ``number`` is as a length in µm and as a US sieve, which no label tells apart."""
    as_um = next((grain for grain in DIAMONDS if grain.low <= number <= grain.high), None)
    sieves = zip(DIAMONDS, itertools.pairwise(_MESHES), strict=True)
    as_mesh = next((grain for grain, (coarse, fine) in sieves if coarse <= number < fine), None)
    if as_um is None and as_mesh is None:
        return f"Its sieved sizes run from {_described(DIAMONDS[0])} to {_described(DIAMONDS[-1])}."
    readings = [
        f"{number} µm would be {_described(as_um)}" if as_um else f"no sieved size has grains of {number} µm",
        f"{number} mesh (US) would be {_described(as_mesh)}" if as_mesh else f"no sieved size is {number} mesh (US)",
    ]
    return f"{readings[0][0].upper()}{readings[0][1:]}; {readings[1]}. Ask the wheel's maker which is meant."


def _described(grain: Grain) -> str:
    return f"{grain.name} ({grain.mesh} mesh, {grain.low:g} to {grain.high:g} µm)"
