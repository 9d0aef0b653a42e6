"""``feed``: the quick answer, how fast to plunge."""

from __future__ import annotations

from decimal import Decimal

import click

from gen.cli.options import as_json_option, language_option
from gen.cli.shared import HOLDS, plainly
from gen.cli.values import Measure, Plain


@click.command()
@click.option("--wheel-speed", type=Measure("peripheral"), help='Such as "20 m/s" or "4000 ft/min".')
@click.option("--diameter", type=Measure("length"), help='Such as "125 mm".')
@click.option("--rpm", type=Measure("rotation", bare=True), help="Such as 3056.")
@click.option("--aggressiveness", type=Plain(), help="The target; 250 unless given.")
@click.option("--feed", "rate", type=Measure("feed"), help='A feed to judge, such as "5 mm/s".')
@click.option("--length", type=Measure("length"), help="Stick to plunge, for the time it takes.")
@click.option(
    "--angle", type=Measure("angle", bare=True), default=Decimal(0), help="Plunge against the face's normal, degrees."
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
    language: str,
    as_document: bool,
) -> int:
    """The quick answer: how fast to plunge."""
    from dataclasses import asdict

    from gen.base.languages import language as known
    from gen.base.languages import told
    from gen.jobs.report import as_json, number
    from gen.physics.quick import answer

    found = answer(
        wheel_speed=wheel_speed,
        diameter=diameter,
        rpm=rpm,
        target=aggressiveness,
        feed=rate,
        length=length,
        angle=angle,
    )
    if as_document:
        click.echo(as_json(asdict(found)))
        return HOLDS
    mark = known(language).marked
    values = {
        "wheel_speed": mark(number(found.wheel_speed_m_s)),
        "rpm": "" if found.rpm is None else mark(number(round(found.rpm, 1))),
        "aggressiveness": mark(number(found.aggressiveness)),
        "feed_per_minute": mark(number(found.feed_mm_min)),
        "feed_per_second": mark(number(found.feed_mm_s)),
        "time": "" if found.time_s is None else mark(number(found.time_s)),
    }
    click.echo(told(language, "feed", values))
    return HOLDS
