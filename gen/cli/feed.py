"""``feed``: the quick answer, how fast to plunge."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, Any

import click

from gen.base.errors import DressblockError
from gen.cli.options import as_json_option, language_option
from gen.cli.shared import HOLDS, plainly, print_json
from gen.cli.values import Listed, Plain, QuantityType, asked_system

if TYPE_CHECKING:
    from gen.physics.sensitivity import Sensitivity


@click.command()
@click.option("--wheel-speed", type=QuantityType("peripheral"), help='Such as "20 m/s" or "4000 ft/min".')
@click.option("--diameter", type=QuantityType("length"), help='Such as "125 mm".')
@click.option("--rpm", type=QuantityType("rotation", bare=True), help="Such as 3056.")
@click.option("--aggressiveness", type=Plain(), help="The target; 250 unless given.")
@click.option("--feed", "rate", type=QuantityType("feed"), help='A feed to judge, such as "5 mm/s".')
@click.option("--length", type=QuantityType("length"), help="Stick to plunge, for the time it takes.")
@click.option(
    "--angle",
    type=QuantityType("angle", bare=True),
    default=Decimal(0),
    help="Plunge against the face's normal, degrees.",
)
@click.option(
    "--band", type=Listed(), help="Band that errors must not leave, such as 200,300; that is what holds unless given."
)
@language_option
@as_json_option
@plainly
def feed(
    wheel_speed: Decimal | None,
    diameter: Decimal | None,
    rpm: Decimal | None,
    aggressiveness: Decimal | None,
    rate: Decimal | None,
    length: Decimal | None,
    angle: Decimal,
    band: tuple[Decimal, ...] | None,
    language: str,
    as_document: bool,
) -> int:
    """The quick answer: how fast to plunge, and what errors at the machine make of it."""
    from dataclasses import asdict

    from gen.base.languages import told
    from gen.paper.errors import by_watch, told_errors
    from gen.paper.shown import Shown, style_of
    from gen.physics.quick import quick_answer, tidy
    from gen.physics.sensitivity import WATCH_MM, sensitivity, watch_time

    found = quick_answer(
        wheel_speed=wheel_speed,
        diameter=diameter,
        rpm=rpm,
        target=aggressiveness,
        feed=rate,
        length=length,
        angle=angle,
    )
    errors = sensitivity(
        found.aggressiveness,
        diameter_mm=None if diameter is None or diameter <= 1 else float(diameter),
        angle_deg=float(angle),
        band=_band(band),
    )
    if as_document:
        watch = {"length_mm": WATCH_MM, "time_s": tidy(watch_time(found.feed_mm_min))}
        print_json(asdict(found) | _document(errors) | {"watch": watch})
        return HOLDS
    shown = Shown(asked_system(), style_of(language))
    watched, seconds = by_watch(found.feed_mm_min, shown)
    values = {
        "wheel_speed": shown.speed(found.wheel_speed_m_s),
        "rpm": "" if found.rpm is None else shown.rpm(found.rpm),
        "aggressiveness": shown.number(found.aggressiveness, 1),
        "feed_per_minute": shown.feed(found.feed_mm_min),
        "feed_per_second": shown.feed_per_second(found.feed_mm_min),
        "time": "" if found.time_s is None else shown.seconds(found.time_s),
        "watch_length": watched,
        "watch": seconds,
        "low": shown.number(errors.band[0]),
        "high": shown.number(errors.band[1]),
        "within": errors.holds(errors.aggressiveness),
        "errors": told_errors(errors, shown),
    }
    click.echo(told(language, "feed", values))
    return HOLDS


def _band(given: tuple[Decimal, ...] | None) -> tuple[float, float]:
    from gen.physics.sensitivity import BAND

    if given is None:
        return BAND
    if len(given) != 2 or given[0] > given[1]:
        raise DressblockError("--band wants two numbers, the lower one first, such as 200,300.")
    return float(given[0]), float(given[1])


def _document(errors: Sensitivity) -> dict[str, Any]:
    from gen.physics.quick import tidy

    return {
        "band": list(errors.band),
        "sensitivity": [
            {
                "error": one.quantity,
                "value": one.error,
                "aggressiveness": tidy(one.aggressiveness),
                "in_band": errors.holds(one.aggressiveness),
            }
            for one in errors.deviations
        ],
        "tolerances": [
            {
                "error": one.quantity,
                "too_low": None if one.too_low is None else tidy(one.too_low),
                "too_high": None if one.too_high is None else tidy(one.too_high),
            }
            for one in errors.tolerances
        ],
    }
