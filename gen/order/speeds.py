"""Wheel, stick, spindle speed and feed as working variables, each worked out once."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from gen.dressers.task import times_unit
from gen.order.setting import Setting
from gen.order.way_in import worked_out
from gen.physics.contact import plunge_feed, rotation
from gen.plan.expression import Condition, Expr, Var, constant, num, on_grid
from gen.plan.node import Let, Node, When


def quantities(setting: Setting) -> Iterator[Node]:
    """``size``, ``length``, ``rpm`` and ``feed``, in that order, as far as the kind of dresser needs them.

    The length goes on from one wheel of a pack to the next.
    """
    dress, wheel, grid = setting.dress, setting.wheel, setting.grid
    factor = dress.register_unit / grid.mm_per_unit
    yield Let("size", times_unit(Var(wheel.size_name, "register"), factor), wheel.size_name.replace("_", " "))
    if setting.dresser.needs_length and wheel.index == 0:
        yield Let("length", times_unit(Var("stick_length", "register"), factor), "stick length")
    if not setting.edition.spins:
        return
    yield from _rpm(setting)
    if setting.dresser.valve is not None:
        return
    feed = plunge_feed(
        float(setting.wheel.settings.aggressiveness),
        _nominal_diameter(setting),
        Var("rpm"),
        angle_deg=float(wheel.angle),
        digits=grid.digits,
    )
    yield Let("feed", on_grid("round", feed, grid.feed), "plunge feed")
    if setting.edition.dresses:
        yield from worked_out(wheel, grid, _nominal_diameter(setting), setting.labels)


def _nominal_diameter(setting: Setting) -> Expr:
    """The diameter at which wheel speed and target hold: D, or the middle of a new cup's rim."""
    wheel = setting.wheel
    if not wheel.face:
        return Var("size")
    middle = wheel.nominal_diameter(float(wheel.size_range[1]))
    return num(constant(middle / float(setting.grid.mm_per_unit), setting.grid.digits))


def _rpm(setting: Setting) -> Iterator[Node]:
    """The dress speed, whole rpm: as asked, and no more than marking and spindle allow."""
    wheel, settings = setting.wheel, setting.wheel.settings
    if settings.speed is not None:
        yield Let("rpm", on_grid("floor", num(settings.speed), Decimal(1)), "spindle speed")
        return
    assert settings.wheel_speed is not None
    wanted = rotation(
        float(settings.wheel_speed),
        _nominal_diameter(setting),
        mm_per_unit=float(setting.grid.mm_per_unit),
        digits=setting.grid.digits,
    )
    yield Let("rpm", on_grid("round", wanted, Decimal(1)), "spindle speed")
    if wheel.asked_rpm(float(wheel.size_range[0])) > wheel.rpm_cap:
        yield When(
            Condition("gt", Var("rpm"), num(wheel.rpm_cap)),
            next(setting.labels),
            (Let("rpm", num(wheel.rpm_cap), "no more than the wheel or the spindle may turn"),),
        )
