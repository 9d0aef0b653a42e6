"""Wheel, stick, spindle speed and feed as working variables, each worked out once."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from gen.dressers.setting import Setting, times_unit
from gen.physics.contact import plunge_feed, rotation
from gen.plan.expression import Condition, Expr, Var, constant, num, on_grid
from gen.plan.node import Let, Node, When


def quantities(setting: Setting) -> Iterator[Node]:
    """``size``, ``length``, ``rpm`` and ``feed``, in that order; a timed feeder's speed is its valve's.

    The length goes on from one wheel of a pack to the next.
    """
    facts, grid = setting.facts, setting.grid
    factor = facts.register_unit / grid.mm_per_unit
    yield Let("size", times_unit(Var(facts.size_name, "register"), factor), facts.size_name.replace("_", " "))
    if not facts.incremental and setting.first_wheel:
        yield Let("length", times_unit(Var("stick_length", "register"), factor), "stick length")
    yield from _rpm(setting)
    if facts.timed:
        return
    feed = plunge_feed(
        float(setting.dress.aggressiveness),
        _nominal_diameter(setting),
        Var("rpm"),
        angle_deg=float(facts.angle),
        digits=grid.digits,
    )
    yield Let("feed", on_grid("round", feed, grid.feed), "plunge feed")


def _nominal_diameter(setting: Setting) -> Expr:
    """The diameter at which wheel speed and target hold: D, or the middle of a new cup's rim."""
    facts = setting.facts
    if not facts.face:
        return Var("size")
    middle = facts.nominal_diameter(float(facts.size_range[1]))
    return num(constant(middle / float(setting.grid.mm_per_unit), setting.grid.digits))


def _rpm(setting: Setting) -> Iterator[Node]:
    """The dress speed, whole rpm: as asked, and no more than marking and spindle allow."""
    facts, dress = setting.facts, setting.dress
    if dress.speed is not None:
        yield Let("rpm", on_grid("floor", num(dress.speed), Decimal(1)), "spindle speed")
        return
    assert dress.wheel_speed is not None
    wanted = rotation(
        float(dress.wheel_speed),
        _nominal_diameter(setting),
        mm_per_unit=float(setting.grid.mm_per_unit),
        digits=setting.grid.digits,
    )
    yield Let("rpm", on_grid("round", wanted, Decimal(1)), "spindle speed")
    if facts.asked_rpm(float(facts.size_range[0])) > facts.rpm_cap:
        yield When(
            Condition("gt", Var("rpm"), num(facts.rpm_cap)),
            next(setting.labels),
            (Let("rpm", num(facts.rpm_cap), "no more than the wheel or the spindle may turn"),),
        )
