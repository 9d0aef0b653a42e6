"""Contact of stick and wheel: speed, aggressiveness, and where the two first touch.

Written once over numbers and expressions. A function typed over :data:`N`
takes either floats, for checks and quick answers, or :class:`~gen.plan.expression.Expr`,
for a plan that a control works out itself.

Lengths are in one unit throughout (mm, or the program's inch where a formula is
homogeneous), speeds in m/s, rotation in rpm, feeds in length per minute,
angles in degrees.
"""

from __future__ import annotations

import math
from typing import TypeVar

from gen.base.dataclass import dataclass
from gen.plan.expression import Expr, constant, scaled

N = TypeVar("N", float, Expr)

DIGITS = 12
"""Significant digits of a constant in an expression, unless the control keeps fewer."""


def peripheral_speed(diameter_mm: float, rpm: float) -> float:
    """Speed of a wheel's surface, m/s: v = π D n / 60000 (textbook)."""
    return math.pi * diameter_mm * rpm / 60_000


def rotation(speed_m_s: float, diameter: N, *, mm_per_unit: float = 1.0, digits: int = DIGITS) -> N:
    """Rotation in rpm at which a wheel of ``diameter`` (in units of ``mm_per_unit``) has ``speed_m_s``.

    n = 60000 v / (π D); in inches and feet a minute this is the trade's
    rpm = 3.82 · sfpm / D.
    """
    factor = 60_000 * speed_m_s / (math.pi * mm_per_unit)
    if isinstance(diameter, Expr):
        return constant(factor, digits) / diameter
    return factor / diameter


def aggressiveness(feed_mm_min: float, speed_m_s: float, angle_deg: float = 0.0) -> float:
    """Aggressiveness number of a plunge, dimensionless: Aggr = 10⁶ · v_f cos α / v_s.

    Source: "On geometry and kinematics of abrasive processes: the theory of
    aggressiveness", Int. J. Machine Tools & Manufacture 154 (2020) 103567
    (cited from memory).
    """
    return feed_mm_min / 0.06 * math.cos(math.radians(angle_deg)) / speed_m_s


def feed_for(aggr: float, speed_m_s: float, angle_deg: float = 0.0) -> float:
    """Plunge feed in mm/min for a target: F = 0.06 · Aggr · v_s / cos α, the inverse of :func:`aggressiveness`."""
    return 0.06 * aggr * speed_m_s / math.cos(math.radians(angle_deg))


def plunge_feed(aggr: float, diameter: N, rpm: N, *, angle_deg: float = 0.0, digits: int = DIGITS) -> N:
    """Plunge feed per minute, in the unit of ``diameter``: F = 10⁻⁶ · Aggr · π D n / cos α."""
    factor = 1e-6 * aggr * math.pi / math.cos(math.radians(angle_deg))
    return _times(diameter * rpm, factor, digits)


def _times(value: N, factor: float, digits: int) -> N:
    """``value · factor``; in an expression the constant keeps ``digits`` significant digits."""
    return scaled(value, factor, digits) if isinstance(value, Expr) else value * factor


def edge_share(height: float, diameter: float) -> float:
    """Share of the normal feed left at the edge of a stick of ``height``: cos φ with sin φ = h/D (geometry).

    ``ValueError`` unless the stick is lower than the wheel's diameter.
    """
    if not 0 <= height < diameter:
        raise ValueError("the stick must be lower than the wheel's diameter")
    return math.sqrt(1 - (height / diameter) ** 2)


def sagitta(height: float, diameter: float) -> float:
    """Depth of the groove a wheel leaves in a stick of ``height``: D/2 − √(D²/4 − h²/4) (geometry)."""
    return diameter / 2 * (1 - edge_share(height, diameter))


@dataclass(frozen=True, slots=True)
class Geometry:
    """How stick and wheel face each other, all lengths in mm, the angle in degrees.

    ``angle_deg`` is α, between the plunge direction and the working surface's
    normal, whether the plunge is inclined or the wheel's face tapered
    (``tapered``). ``face`` is contact on the wheel's face rather than its periphery.
    """

    face: bool
    wheel_width: float
    stick_width: float
    stick_height: float
    angle_deg: float = 0.0
    tapered: bool = False

    @property
    def cosine(self) -> float:
        return math.cos(math.radians(self.angle_deg))

    @property
    def footprint(self) -> float:
        """Width the stick covers along the wheel's face, mm."""
        return self.stick_width if self.tapered else self.stick_width / self.cosine

    @property
    def width_in_contact(self) -> float:
        """Width b of the stick's end that the wheel can cut in one plunge, mm, along the stick's end."""
        across = min(self.wheel_width, self.footprint)
        return across if self.tapered else across * self.cosine

    @property
    def bedding(self) -> float:
        """Depth in mm before the whole width of a square-ended stick cuts: b tan α (geometry)."""
        return self.width_in_contact * math.tan(math.radians(self.angle_deg))

    @property
    def lead(self) -> float:
        """By how much the edge of a square-ended stick touches before its middle would, mm: (b/2) tan α.

        A tapered face is met at the largest diameter under the stick, which is
        the diameter the state gives, so there is no lead.
        """
        return 0.0 if self.tapered else self.bedding / 2

    @property
    def radius_share(self) -> float:
        """How far along the plunge direction the surface lies, per unit of diameter: 1 / (2 cos α)."""
        return 0.5 if self.tapered else 0.5 / self.cosine


def reach(geometry: Geometry, length: N, size: N, *, mm_per_unit: float = 1.0, digits: int = DIGITS) -> N:
    """Distance along the plunge from an empty seat's datum position to first contact.

    ``size`` is the wheel's diameter D for periphery contact, its gauge G for
    face contact, ``length`` the stick's length L, in units of ``mm_per_unit``:
    L + D/(2 cos α) + (b/2) tan α, or L + G.
    """
    if geometry.face:
        return length + size
    middle, lead = length + _times(size, geometry.radius_share, digits), geometry.lead / mm_per_unit
    if not lead:
        return middle
    return middle + (constant(lead, digits) if isinstance(size, Expr) else lead)


def along_plunge(geometry: Geometry, gap: float) -> float:
    """How far a stick has to stay back along the plunge for ``gap`` mm between it and the wheel, square to the face.

    g / cos α on an inclined plunge (geometry), as a feeler gauge measures it, whether the stick's end is square or
    bedded in. On a taper the square end of the stick stands square to the plunge. In the same way a groove as deep as
    ``gap`` square to the face is deeper along the plunge.
    """
    return gap if geometry.face or geometry.tapered else gap / geometry.cosine


def lateral_drift(geometry: Geometry, new: float, size: N, *, mm_per_unit: float = 1.0, digits: int = DIGITS) -> N:
    """How far along the wheel's axis an inclined plunge meets a wheel of ``size`` beside where it met the new one.

    ``new`` in mm, ``size`` and the result in units of ``mm_per_unit``: (D_new − D)/2 · tan α (geometry: the
    plunge's line crosses the surface where it has gone as much further in as the radius is smaller).
    """
    share = 0.0 if geometry.face or geometry.tapered else math.tan(math.radians(geometry.angle_deg)) / 2
    if isinstance(size, Expr):
        return scaled(constant(new / mm_per_unit, digits) - size, share, digits)
    return (new / mm_per_unit - size) * share


def working_diameters(geometry: Geometry, diameter: float) -> tuple[float, ...]:
    """Diameters in mm at which the aggressiveness must be in band; the first is the nominal one.

    On the periphery D itself. On a cup's face the middle of the rim, D − W, and
    the inside edge, D − 2W, which is working face too. On a tapered face the
    large end D and the small end under the stick, D − 2 b tan α, likewise (geometry).
    """
    if geometry.face:
        return diameter - geometry.wheel_width, diameter - 2 * geometry.wheel_width
    if geometry.tapered:
        return diameter, diameter - 2 * geometry.bedding
    return (diameter,)
