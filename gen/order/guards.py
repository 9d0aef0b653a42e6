"""Guards: the dress is reached only by a jump that each register's value allows."""

from __future__ import annotations

from decimal import Decimal

from gen.base.quantities import show
from gen.order.notice import Kind, Notice
from gen.order.setting import Setting
from gen.plan.expression import Comparison, Condition, Expr, Num, Rounded, Var, num, to_grid
from gen.plan.node import Guard, Node
from gen.shop.wheel import Wheel

REGISTER_STEP = Decimal("0.0001")
"""The step in which the limits of a register are written, rounded outward: 0.0025 mm at the most."""


def guarded(setting: Setting, body: tuple[Node, ...]) -> tuple[Node, ...]:
    """``body`` behind one guard for each end of each register that it reads."""
    if not setting.registers:
        return body
    dress = setting.dress
    unit = dress.register_unit
    system = dress.machine.registers.units if dress.machine.registers else "mm"
    checks: list[tuple[Comparison, str, Expr, Notice]] = [("eq", "in_progress", num(0), Notice("interrupted"))]

    def between(name: str, ends: tuple[Decimal, Decimal], below: Kind, above: Kind, wheel: Wheel | None = None) -> None:
        """The two guards of the register ``name``, which holds a length."""
        number, gauge = (0, False) if wheel is None else (wheel.number, wheel.face)
        low, high = ends
        told = [
            Notice(kind, show(limit, "length", system).upper(), number, gauge)
            for kind, limit in ((below, low), (above, high))
        ]
        checks.append(("ge", name, Num(to_grid("floor", low / unit, REGISTER_STEP)), told[0]))
        checks.append(("le", name, Num(to_grid("ceil", high / unit, REGISTER_STEP)), told[1]))

    for wheel in dress.wheels:
        between(wheel.size_name, wheel.size_range, "wheel-below", "wheel-above", wheel)
    if dress.dresser.needs_length:
        low, high = dress.let_through(setting.edition)
        if dress.leaves_out(setting.edition):
            low -= REGISTER_STEP * dress.register_unit  # a last digit makes no used-up stick one that was never set
        between("stick_length", (low, high), "stick-below", "stick-above")
    if dress.turns:
        most, lane = len(dress.turns), "next_lane"
        checks.append(("ge", lane, num(1), Notice("lane-below", "1")))
        checks.append(("le", lane, num(most), Notice("lane-above", str(most))))
        checks.append(("eq", lane, Rounded("floor", Var(lane, "register")), Notice("lane-fraction")))
    labels = [next(setting.labels) for _ in checks]
    for (op, name, value, notice), label in zip(reversed(checks), reversed(labels), strict=True):
        condition = Condition(op, Var(name, "register"), value)
        body = (Guard(condition, setting.say(notice), label, body, notice.number),)
    return (*setting.abilities.wait_for_motion("registers are read when all motion has ended"), *body)
