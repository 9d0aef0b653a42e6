"""``feed``: the quick answer, how fast to plunge."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import TYPE_CHECKING, Any

import click

from gen.base.errors import DressblockError
from gen.cli.options import as_json_option, language_option
from gen.cli.shared import HOLDS, plainly, print_json
from gen.cli.values import Listed, Plain, QuantityType

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

    from gen.base.languages import language as known
    from gen.base.languages import told
    from gen.jobs.report import number
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
    watch = tidy(watch_time(found.feed_mm_min))
    if as_document:
        document = asdict(found) | _document(errors) | {"watch": {"length_mm": WATCH_MM, "time_s": watch}}
        print_json(document)
        return HOLDS
    mark = known(language).marked
    values = {
        "wheel_speed": mark(number(found.wheel_speed_m_s)),
        "rpm": "" if found.rpm is None else mark(number(round(found.rpm, 1))),
        "aggressiveness": mark(number(found.aggressiveness)),
        "feed_per_minute": mark(number(found.feed_mm_min)),
        "feed_per_second": mark(number(found.feed_mm_s)),
        "time": "" if found.time_s is None else mark(number(found.time_s)),
        "watch_length": f"{WATCH_MM:g}",
        "watch": mark(f"{watch:.1f}"),
        "errors": _errors(errors, mark),
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


def _errors(errors: Sensitivity, mark: Callable[[str], str]) -> dict[str, Any]:
    """What a language's ``feed`` says of errors."""

    def signed(value: float, places: int) -> str:
        return mark(f"{value:+.{places}f}")

    places = {"diameter": 1, "override": 0, "spindle": 1, "angle": 1}
    ends = {one.quantity: one for one in errors.tolerances}

    def end(quantity: str, value: float | None) -> str:
        if value is None:
            return ""
        return mark(f"{value:.0f}") if quantity == "override" else signed(value, places[quantity])

    return {
        "low": mark(f"{errors.band[0]:g}"),
        "high": mark(f"{errors.band[1]:g}"),
        "within": errors.holds(errors.aggressiveness),
        "each": [
            {
                "error": one.quantity,
                "value": f"{one.error:.0f}" if one.quantity == "override" else f"{one.error:+.0f}",
                "number": mark(f"{one.aggressiveness:.0f}"),
                "holds": errors.holds(one.aggressiveness),
            }
            for one in errors.deviations
        ],
        "ends": [
            {"error": name, "too_low": end(name, one.too_low), "too_high": end(name, one.too_high)}
            for name, one in ends.items()
        ],
    }
