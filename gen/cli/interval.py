"""``interval``: how often to dress, and whether the dresses are hard enough, from a power log."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

import click

from gen.base.errors import DressblockError
from gen.cli.options import as_json_option, language_option
from gen.cli.shared import HOLDS, leave_out, plainly, print_json
from gen.cli.values import QuantityType, a_file

if TYPE_CHECKING:
    from gen.jobs.interval_costs import IntervalCosts
    from gen.power.answer import Answer
    from gen.power.causes import Cause
    from gen.power.estimate import Estimate
    from gen.power.log import Combine, PowerScale, Unit
    from gen.power.said import Said
    from gen.shop.recipe import Recipe


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
@as_json_option
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
    from gen.base.languages import told
    from gen.jobs.interval_costs import costs_for, costs_told
    from gen.power.answer import answer
    from gen.power.causes import causes
    from gen.power.log import LogColumns, PowerScale, begun_clean, read_log
    from gen.power.telling import telling
    from gen.shop.load import load_recipe

    worded_in = known(language)
    if idle is not None and idle_column is not None:
        raise DressblockError("--idle and --idle-column are both given; keep one.")
    if recipe_path is None:
        leave_out("what a part costs is told with --recipe", parts_a_day=parts_a_day)
    scale = PowerScale(cast("Unit", unit), rated, idle)
    limit_kw = _limit(limit, scale)
    recipe = None if recipe_path is None else load_recipe(recipe_path)
    columns = LogColumns(part, power, dressed, trued, idle_column, time)
    read = read_log(log, columns, scale, cast("Combine", traces))
    found = answer(begun_clean(read) if begins_clean else read, limit_kw, None if clean is None else float(clean))
    likely = causes(recipe) if found.verdict == "too-gentle" else ()
    costs, unpriced = (None, []) if recipe_path is None else costs_for(recipe_path, found, parts_a_day)
    if picture is not None:
        from gen.base.files import write_whole
        from gen.paper.charts import drawn
        from gen.paper.charts.plot import FULL
        from gen.paper.charts.power import power_chart

        write_whole(picture, str(drawn(power_chart(found, log.name, FULL, worded_in.decimal), language)))
    if as_document:
        print_json(_document(found, likely, recipe, costs, language))
    else:
        every = None if recipe is None else recipe.dress.every_parts
        click.echo(
            told(
                language,
                "interval",
                {
                    **telling(found, likely, every, worded_in.marked),
                    "costs": costs_told(costs, worded_in.marked),
                    "unpriced": unpriced,
                },
            )
        )
    return HOLDS


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


def _document(
    found: Answer, likely: tuple[Cause, ...], recipe: Recipe | None, costs: IntervalCosts | None, language: str
) -> dict[str, Any]:
    from gen.base.languages import told
    from gen.power.telling import worded

    def sentence(macro: str, said: Said) -> str:
        return told(language, macro, worded(said, str))

    fit, base, parts, true_in = found.fit, found.baseline, found.interval, found.truing
    cleared = found.cleared
    return {
        "verdict": found.verdict,
        "why": sentence("why", found.why),
        "baseline_kw": None if base is None else _kw(base.now.value),
        "baseline_interval_kw": None if base is None else _ends(base.now),
        "baseline_trend": None if base is None else base.trend.course,
        "creep_kw_per_dress": None if base is None or base.creep is None else _kw(base.creep.value),
        "rise_kw_per_part": None if fit is None else _kw(fit.rise.value),
        "rise_interval_kw_per_part": None if fit is None else _ends(fit.rise),
        "noise_kw": None if fit is None else _kw(fit.noise_kw),
        "parts_between_dresses": None if parts is None else parts.parts,
        "at_least": parts is not None and parts.ground == "flat",
        "parts_until_limit": None if parts is None else parts.expected,
        "margin_kw": None if parts is None or parts.margin_kw is None else _kw(parts.margin_kw),
        "most_parts_told": None if parts is None else parts.most,
        "every_parts": None if recipe is None else recipe.dress.every_parts,
        "limit_kw": _kw(found.limit_kw),
        "idle_kw": None if found.log.idle_kw is None else _kw(found.log.idle_kw),
        "recovery": [None if dress.share is None else round(dress.share, 4) for dress in found.dresses],
        "dresses": [
            {"part": dress.part, "recovery": dress.share and round(dress.share, 4), "unknown": dress.silence}
            for dress in found.dresses
        ],
        "recovery_together": None if found.share is None else round(found.share.value, 4),
        "recovery_together_interval": None if found.share is None else _ends(found.share),
        "cleared": None if cleared is None else round(cleared.share, 4),
        "cleared_interval": None if cleared is None else [round(end, 4) for end in cleared.interval()],
        "clean_kw": None if cleared is None else _kw(cleared.clean_kw),
        "clean_interval_kw": None if cleared is None else [_kw(end) for end in cleared.clean_interval()],
        "shape": None if found.bend is None else found.bend.shape,
        "set_aside": [
            {
                "line": one.line,
                "why": one.why,
                "power_kw": _kw(one.power_kw),
                "expected_kw": None if one.expected_kw is None else _kw(one.expected_kw),
            }
            for one in found.set_aside
        ],
        "cut": None
        if found.log.cut is None
        else {
            "parts": len(found.log.parts),
            "idle_kw": _kw(found.log.cut.idle_kw),
            "line_kw": _kw(found.log.cut.line_kw),
            "part_s": round(found.log.cut.usual_seconds, 3),
            "stretches": [
                {
                    "seconds": round(one.seconds, 3),
                    "mean_kw": _kw(one.mean_kw),
                    "peak_kw": _kw(one.peak_kw),
                    "not_cut": one.flaw,
                }
                for one in found.log.cut.stretches
            ],
        },
        "true_in": None
        if true_in is None
        else {"dresses": true_in.dresses, "parts": true_in.parts, "or_more": true_in.beyond},
        "causes": [
            {
                "cause": told(language, "cause", cause.cause),
                "recipe": None if cause.recipe is None else sentence("recipe_says", cause.recipe),
            }
            for cause in likely
        ],
        "costs": None if costs is None else _costs(costs),
        "notes": [sentence("note", note) for note in found.notes],
    }


def _costs(costs: IntervalCosts) -> dict[str, Any]:
    from gen.jobs.dress_costs import due_as_object, part_as_object, prices_as_object

    return {
        **prices_as_object(costs.prices),
        "per_part": [part_as_object(one) for one in costs.parts],
        "sticks_a_month": None if costs.sticks is None else round(costs.sticks, 2),
        "true_after": None if costs.due is None else due_as_object(costs.due),
    }


def _kw(value: float) -> float:
    return round(value, 5)


def _ends(estimate: Estimate) -> list[float]:
    return [_kw(end) for end in estimate.interval()]
