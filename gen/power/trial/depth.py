"""How deep to dress and how often, together, once a trial has varied the depth.

A dress of depth t clears 1 − e^(−t/t₀) of the loading and costs A₀ + c t. The
parts between dresses are in proportion to the share cleared, so a part costs
least where (A₀ + c t) / (1 − e^(−t/t₀)) is least, which is at t = x t₀ with

    e^x = 1 + x + A₀ / (c t₀)

(derivative set to zero).
"""

from __future__ import annotations

import math


def characteristic_depth(cleared: float, depth_mm: float) -> float:
    """t₀ in mm of a dress of ``depth_mm`` that clears the share ``cleared``, more than 0 and less than 1."""
    return -depth_mm / math.log1p(-cleared)


def best_depth(fixed: float, per_mm: float, characteristic_mm: float) -> float:
    """The depth in mm at which a part costs least; A₀ is ``fixed``, c ``per_mm``, more than 0, t₀ in mm.

    By Newton's method from above, where it falls steadily to the root.
    """
    ratio = fixed / (per_mm * characteristic_mm)
    # e^x − 1 − x exceeds x²/2, so the root is at most √(2 ratio), and it is at most ln(1 + ratio) + 1
    x = min(math.sqrt(2 * ratio), math.log1p(ratio) + 1)
    if x <= 0:
        return 0.0
    for _ in range(60):
        step = (math.expm1(x) - x - ratio) / math.expm1(x)
        x -= step
        if abs(step) <= 1e-12 * x:
            break
    return x * characteristic_mm
