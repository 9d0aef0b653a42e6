"""Guards: the dress is reached only by a jump that each register's value allows."""

from __future__ import annotations

from decimal import Decimal

from gen.base.quantities import show
from gen.order.setting import Setting
from gen.plan.expression import Comparison, Condition, Expr, Num, Rounded, Var, num, to_grid
from gen.plan.node import Guard, Node

REGISTER_STEP = Decimal("0.0001")
"""The step in which the limits of a register are written, rounded outward: 0.0025 mm at the most."""


def guarded(setting: Setting, body: tuple[Node, ...]) -> tuple[Node, ...]:
    """``body`` behind one guard for each end of each register that it reads."""
    if not setting.registers:
        return body
    dress = setting.dress
    unit = dress.register_unit
    system = dress.machine.registers.units if dress.machine.registers else "mm"
    checks: list[tuple[Comparison, str, Expr, str]] = [
        ("eq", "in_progress", num(0), "DRESS WAS INTERRUPTED - MEASURE THE STICK"),
    ]
    ranges: list[tuple[str, tuple[Decimal, Decimal]]] = list(dress.sizes.items())
    if dress.dresser.needs_length:
        ranges.append(("stick_length", dress.length_range))
    for name, (low, high) in ranges:
        what = name.replace("_", " ").upper()
        below, above = (
            f"{what} IS {side} {show(limit, 'length', system).upper()}"
            for side, limit in (("BELOW", low), ("ABOVE", high))
        )
        checks.append(("ge", name, Num(to_grid("floor", low / unit, REGISTER_STEP)), below))
        checks.append(("le", name, Num(to_grid("ceil", high / unit, REGISTER_STEP)), above))
    if dress.turns:
        most, lane = len(dress.turns), "next_lane"
        checks.append(("ge", lane, num(1), "NEXT LANE IS BELOW 1"))
        checks.append(("le", lane, num(most), f"NEXT LANE IS ABOVE {most}"))
        checks.append(("eq", lane, Rounded("floor", Var(lane, "register")), "NEXT LANE IS NO WHOLE NUMBER"))
    labels = [next(setting.labels) for _ in checks]
    for (op, name, value, message), label in zip(reversed(checks), reversed(labels), strict=True):
        body = (Guard(Condition(op, Var(name, "register"), value), message, label, body),)
    return (*setting.wait_for_motion("registers are read when all motion has ended"), *body)
