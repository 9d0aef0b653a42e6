"""``feed``: the quick answer, how fast to plunge."""

from __future__ import annotations

from decimal import Decimal

import click

from gen.base.errors import DressblockError
from gen.cli.options import language_option
from gen.cli.shared import answered, plainly
from gen.cli.values import Listed, Plain, QuantityType, asked_system


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
    from gen.jobs.feed import quick_as_object, quick_as_text
    from gen.paper.shown import Shown
    from gen.physics.quick import quick_answer
    from gen.physics.sensitivity import sensitivity

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
    shown = Shown(asked_system(), language)
    return answered(
        lambda: quick_as_object(found, errors),
        lambda: quick_as_text(found, errors, shown, language),
        as_document=as_document,
    )


def _band(given: tuple[Decimal, ...] | None) -> tuple[float, float]:
    from gen.physics.sensitivity import BAND

    if given is None:
        return BAND
    if len(given) != 2 or given[0] > given[1]:
        raise DressblockError("--band wants two numbers, the lower one first, such as 200,300.")
    return float(given[0]), float(given[1])
