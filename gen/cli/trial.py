"""``trial``: find the shop's own target, by a trial that is planned, ground and read."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

import click

from gen.base.errors import DressblockError
from gen.cli.options import chosen, control_folders, form_option, language_option
from gen.cli.shared import FINDING, HOLDS, answered, plainly, print_json, tell
from gen.cli.values import Listed, QuantityType, a_file

if TYPE_CHECKING:
    from gen.control.options import Options
    from gen.jobs.trial import TrialPlan, WrittenTrial


@click.group()
def trial() -> None:
    """How hard to dress, for the shop's own wheel: plan a trial of targets, grind it, and read its log."""


@trial.command()
@click.argument("recipe", type=a_file)
@click.option("--targets", required=True, type=Listed(), help="Targets to compare, such as 180,220,260,300.")
@click.option(
    "--depth",
    "depths",
    type=QuantityType("length"),
    multiple=True,
    help="Depth of a plunge to try every target at; may be repeated. The recipe's own unless given.",
)
@click.option("--blocks", type=click.IntRange(1, 50), default=2, show_default=True, help="Blocks of runs.")
@click.option("--parts", type=click.IntRange(2, 500), help="Parts in a run; the recipe's every_parts, else 6.")
@click.option("--seed", type=click.IntRange(min=0), default=1, show_default=True, help="Seed of the shuffled order.")
@click.option("--out", type=a_file, required=True, help="Folder to write to.")
@click.option("--force", is_flag=True, help="Write over a log that was filled in, or a program changed by hand.")
@chosen(form_option, control_folders, language_option)
@plainly
def plan(
    recipe: Path,
    targets: tuple[Decimal, ...],
    depths: tuple[Decimal, ...],
    blocks: int,
    parts: int | None,
    seed: int,
    out: Path,
    force: bool,
    options: Options,
    as_document: bool,
) -> int:
    """A trial of RECIPE: a program for each target, a shuffled order, a log to fill in, and a sheet.

    Every block dresses at each target once, and once twice in a row. A target
    that a limit forbids is named and left out, and the exit is 1.
    """
    from gen.base.finding import errors_in
    from gen.base.languages import language
    from gen.jobs.trial import plan_trial, too_few, trial_as_object, write_trial

    language(options.language)
    made = plan_trial(recipe, targets, out, options, depths=depths, blocks=blocks, parts=parts, seed=seed)
    for one in made.refused:
        for reason in one.why:
            tell(f"{recipe}: target {one.target:f}: {reason}", aside=True)
    if why := too_few(made):
        tell(f"{recipe}: {why} Nothing was written.", aside=True)
        if as_document:
            print_json(trial_as_object(made, None))
        return FINDING
    written = write_trial(made, out, force=force, language=options.language)
    for job in written.refused:
        for finding in errors_in(job.findings):
            tell(f"{job.recipe_path}: {finding.message}", aside=True)
    if as_document:
        print_json(trial_as_object(made, written))
    elif not written.refused:
        _tell(made, written)
    return FINDING if made.refused or written.refused else HOLDS


def _tell(made: TrialPlan, written: WrittenTrial) -> None:
    for run in made.runs:
        times = "once" if run.dresses == 1 else "twice in a row"
        tell(
            f"run {run.run}: program {run.rung.number}, target {run.rung.target:f}, dress {times}, "
            f"then parts {run.first} to {run.last}"
        )
    tell(
        f"\n{len(made.rungs)} programs, each with its prove-out and sheet, are below {written.log.parent}. "
        f"Print {written.sheet}, fill in {written.log}, then: dressblock trial read {written.log} "
        f'--limit "2 kW" --recipe {made.pair.recipe_path} (with your own limit)'
    )


@trial.command()
@click.argument("log", type=a_file)
@click.option(
    "--limit", type=QuantityType("power"), required=True, help='Power at which to dress, as in the log: "2 kW".'
)
@click.option("--recipe", "recipe_path", type=a_file, help="The trial's recipe: its band, its wheel, and its prices.")
@click.option(
    "--parts-ahead",
    "ahead",
    type=click.IntRange(min=1),
    help="Parts that the choice will be used for; as many as a wheel lasts unless given.",
)
@click.option(
    "--seed", type=click.IntRange(min=0), default=1, show_default=True, help="Seed of the next block's order."
)
@click.option("--html", "page", type=a_file, help="Write a page for the wall.")
@click.option("--chart", "picture", type=a_file, help="File to draw it in (SVG): what targets clear and cost.")
@language_option
@plainly
def read(
    log: Path,
    limit: Decimal,
    recipe_path: Path | None,
    ahead: int | None,
    seed: int,
    page: Path | None,
    picture: Path | None,
    language: str,
    as_document: bool,
) -> int:
    """What the LOG of a trial says: the target to dress at, how often, and what it costs.

    Rows that are missing, scrapped parts, a trial that was stopped and a wheel
    that was trued are read, and said with their line. Exits 0 whatever the verdict.
    """
    from gen.base.files import write_whole
    from gen.jobs.trial import read_log_of_trial
    from gen.paper.trial import chart_of, page_of, text_of_answer
    from gen.power.telling import sentences
    from gen.power.trial.telling import document_of

    if limit <= 0:
        raise DressblockError(f"--limit is {limit}; it must be more than 0.")
    found = read_log_of_trial(log, float(limit), recipe_path, ahead=ahead, seed=seed)
    if picture is not None:
        write_whole(picture, chart_of(found, log.name, language))
    if page is not None:
        write_whole(page, page_of(found, log.name, language))
    return answered(
        lambda: document_of(found, sentences(language, "trial.j2")),
        lambda: text_of_answer(found, language),
        as_document=as_document,
    )
