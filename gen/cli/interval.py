"""``interval``: how often to dress, and whether the dresses are hard enough, from a power log."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, cast

import click

from gen.base.errors import DressblockError
from gen.cli.options import language_option
from gen.cli.shared import answered, leave_out, plainly
from gen.cli.values import QuantityType, a_file

if TYPE_CHECKING:
    from gen.power.log import Combine, PowerScale, Unit


@click.command()
@click.argument("log", type=a_file)
@click.option("--limit", required=True, help='Power at which to dress, as the log has it: "2 kW", or "80 %" of rated.')
@click.option(
    "--clean", type=QuantityType("power"), help='Power of the first parts after truing and its opening: "1.1 kW".'
)
@click.option(
    "--begins-clean", is_flag=True, help="The log's first part is the first one after truing and its opening."
)
@click.option("--recipe", "recipe_path", type=a_file, help="Recipe of these dresses, to hold against the log.")
@click.option("--time", "time", default="", help='Column with the time of a raw trace; "time_s" if there is no part.')
@click.option("--part", default="part", show_default=True, help="Column with the number of the part.")
@click.option("--power", multiple=True, default=("power_kw",), show_default=True, help="Column with power; repeatable.")
@click.option(
    "--dressed",
    default="dressed",
    show_default=True,
    help="Column with 1 on the first part after a dress, 2 after two.",
)
@click.option("--trued", default="", help='Column with 1 on the first part after truing; "trued" if there is one.')
@click.option("--unit", type=click.Choice(["kW", "W", "%"]), default="kW", show_default=True, help="Unit of the power.")
@click.option("--rated", type=QuantityType("power"), help='Rated power, for a log in %: "5.5 kW".')
@click.option("--idle", type=QuantityType("power"), help='Idle power to take off: "0.4 kW".')
@click.option("--idle-column", help="Column with the idle power, in the same unit.")
@click.option(
    "--traces",
    type=click.Choice(["mean", "highest"]),
    default="mean",
    show_default=True,
    help="What counts of several traces of one part.",
)
@click.option("--parts-a-day", type=click.FloatRange(min=0, min_open=True), help="For the sticks of a month.")
@click.option("--chart", "picture", type=a_file, help="File to draw it in (SVG): power over parts.")
@language_option
@plainly
def interval(
    log: Path,
    limit: str,
    clean: Decimal | None,
    begins_clean: bool,
    recipe_path: Path | None,
    time: str,
    part: str,
    power: tuple[str, ...],
    dressed: str,
    trued: str,
    unit: str,
    rated: Decimal | None,
    idle: Decimal | None,
    idle_column: str | None,
    traces: str,
    parts_a_day: float | None,
    picture: Path | None,
    language: str,
    as_document: bool,
) -> int:
    """How often to dress, and was the last dress hard enough, from a power LOG in CSV.

    One row a part, or several: its number, its power, and 1 where it is the
    first part after a dress, 2 after two dresses in a row. Or a raw trace of
    time and power, with idle gaps between the parts. A steady log cannot
    tell what share of the loading a dress clears; --clean, a log that begins
    just after truing, or double dresses now and then can. Exits 0 whatever the
    verdict.
    """
    from gen.base.languages import language as known
    from gen.jobs.interval import interval_as_object, interval_as_text, judged
    from gen.power.log import LogColumns, PowerScale, begun_clean, read_log

    known(language)
    if idle is not None and idle_column is not None:
        raise DressblockError("--idle and --idle-column are both given; keep one.")
    if recipe_path is None:
        leave_out("what a part costs is told with --recipe", parts_a_day=parts_a_day)
    scale = PowerScale(cast("Unit", unit), rated, idle)
    limit_kw = _limit(limit, scale)
    columns = LogColumns(part, power, dressed, trued, idle_column, time)
    read = read_log(log, columns, scale, cast("Combine", traces))
    clean_kw = None if clean is None else float(clean)
    found = judged(begun_clean(read) if begins_clean else read, limit_kw, clean_kw, recipe_path, parts_a_day)
    if picture is not None:
        from gen.base.files import write_whole
        from gen.paper.charts import drawn
        from gen.paper.charts.power import power_chart

        figure = power_chart(found.answer, log.name, language)
        write_whole(picture, str(drawn(figure, language)))
    return answered(
        lambda: interval_as_object(found, language),
        lambda: interval_as_text(found, language),
        as_document=as_document,
    )


def _limit(text: str, scale: PowerScale) -> float:
    """The limit in kW. :class:`DressblockError` unless it is a power of more than 0, or a share of the rated one."""
    from gen.base.quantities import QuantityError, parse

    try:
        if text.strip().endswith("%"):
            if scale.rated_kw is None:
                raise DressblockError('--limit: a limit in % needs the rated power; give --rated "5.5 kW".')
            kw = parse(text, "share") / 100 * scale.rated_kw
        else:
            kw = parse(text, "power")
    except QuantityError as error:
        raise DressblockError(f"--limit: {error}") from None
    if kw <= 0:
        raise DressblockError(f"--limit is {text}; it must be more than 0.")
    return float(kw)
