"""``limits``: maintenance's table, what every recipe asks of its machine and how much of that is left."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

import click

from gen.base.errors import DressblockError
from gen.cli.options import control_folders, language_option
from gen.cli.shared import (
    FINDING,
    HOLDS,
    UNUSABLE,
    answered,
    errors_json,
    leave_out,
    plainly,
    print_document,
    print_json,
    say,
    tell,
)
from gen.cli.values import QuantityType, a_file

if TYPE_CHECKING:
    from gen.control.draft import Program
    from gen.jobs.cost_table import CostRow
    from gen.jobs.limits import Broken
    from gen.jobs.whatif import WhatIf


@click.command()
@click.argument("folder", type=a_file, required=False)
@click.option(
    "--set",
    "settings",
    multiple=True,
    metavar="KEY=VALUE",
    help='What if: axes.U.max_feed="240 mm/min" of each machine that has it, recipe:dress.plunge="6 mm" of each '
    "recipe; may be repeated. Nothing is written.",
)
@click.option("--csv", "as_values", is_flag=True, help="Print comma-separated values on standard output.")
@click.option("--html", "page", type=a_file, help="Write a page to hang up.")
@click.option("--tightest", type=click.IntRange(1), metavar="N", help="Only the N rows that have least room left.")
@click.option("--cost", "costs", is_flag=True, help="What dressing costs a part instead, by the prices in [costs].")
@click.option("--parts-a-day", type=click.FloatRange(0, min_open=True), help="With --cost: sticks a month, too.")
@click.option(
    "--log",
    "logs",
    multiple=True,
    metavar="RECIPE=LOG",
    help="With --cost: a power log of a recipe, such as flute-rough=log.csv, for when to true; may be repeated.",
)
@click.option("--limit", type=QuantityType("power"), help='The limit in these logs, such as "2 kW".')
@click.option("--reach", "machine", type=a_file, help="Of this machine alone: which targets it reaches, and where.")
@control_folders
@language_option
@plainly
def limits(
    folder: Path | None,
    settings: tuple[str, ...],
    page: Path | None,
    tightest: int | None,
    machine: Path | None,
    costs: bool,
    parts_a_day: float | None,
    logs: tuple[str, ...],
    limit: Decimal | None,
    control_folders: tuple[Path, ...],
    language: str,
    as_values: bool,
    as_document: bool,
) -> int:
    """Every recipe below FOLDER (a machines/ tree, or one machine's folder) against its machine, tightest first.

    With --cost, what dressing by each recipe costs a part; what is not known is
    said as not known. Exit 1 when a limit is broken or a recipe would be refused.
    """
    from gen.jobs.limit_table import as_csv, as_objects, as_page, as_text
    from gen.jobs.limits import survey
    from gen.jobs.locate import recipes_in
    from gen.jobs.whatif import WhatIf

    if as_values and as_document:
        raise DressblockError("--csv and --json both print on standard output; keep one of the two.")
    if not costs and (parts_a_day is not None or logs or limit is not None):
        raise DressblockError("--parts-a-day, --log and --limit say something of costs; give --cost with them.")
    if costs and (as_values or page is not None):
        raise DressblockError("--cost prints text or, with --json, a document; leave out --csv and --html.")
    if costs:
        leave_out("--cost prints costs in place of the rows", tightest=tightest)
    supposed = WhatIf(settings)
    if machine is not None:
        leave_out(
            "--reach tells of one machine alone, as text or JSON",
            csv=as_values,
            html=page,
            tightest=tightest,
            cost=costs,
        )
        if folder is not None:
            raise DressblockError("--reach names its machine; leave out FOLDER.")
        return _reach(machine, supposed, as_document=as_document)
    folder = folder or Path("machines")
    if not folder.is_dir():
        reason = "there is no such folder; name the one that holds your machines' folders."
        raise DressblockError(reason, file=folder)
    recipes = recipes_in([folder])
    found = survey(recipes, supposed, control_folders)
    for error in found.unusable:
        say(str(error))
    rows, broken = found.rows[:tightest], found.broken
    if page is not None:
        from datetime import date

        from gen.base.files import write_whole

        changes = [change.text for change in supposed.changes]
        write_whole(page, as_page(rows, broken, changes, language, day=date.today().isoformat()))
    costed = _costs(found.programs, parts_a_day, logs, limit) if costs else None
    if as_document:
        from dataclasses import asdict

        from gen.jobs.cost_table import costs_as_objects

        document = {
            "rows": as_objects(rows),
            "broken": [asdict(one) for one in broken],
            "errors": [one for error in found.unusable for one in errors_json(error)],
        }
        print_json(document if costed is None else {**document, "costs": costs_as_objects(costed)})
    elif costed is not None:
        from gen.jobs.cost_table import costs_as_text

        click.echo(costs_as_text(costed, language), nl=False)
    elif as_values:
        print_document(as_csv(rows))
    else:
        click.echo(as_text(rows, language), nl=False)
    _tell(broken, len(recipes), supposed, language, quiet=as_document or as_values)
    return UNUSABLE if found.unusable else HOLDS if found.holds else FINDING


def _costs(
    programs: list[Program], parts_a_day: float | None, logs: tuple[str, ...], limit: Decimal | None
) -> list[CostRow]:
    from gen.jobs.cost_table import cost_rows

    pairs = [one.partition("=") for one in logs]
    for name, _, file in pairs:
        if not name or not file:
            raise DressblockError("--log wants a recipe and its log, such as flute-rough=log.csv.")
    if logs and (limit is None or limit <= 0):
        raise DressblockError('--log wants the limit in these logs, more than 0; give --limit "2 kW".')
    files = [(name, Path(file)) for name, _, file in pairs]
    return cost_rows(programs, parts_a_day, files, None if limit is None else float(limit))


def _tell(broken: list[Broken], recipes: int, supposed: WhatIf, language: str, *, quiet: bool) -> None:
    from gen.base.languages import told

    lines = []
    for one in broken:
        lines.append(f"\n{told(language, 'refused', one.machine, one.recipe, template='limits.j2')}:")
        lines += [f"  {reason}" for reason in one.reasons]
    given = [change.text for change in supposed.changes]
    names = {(one.machine, one.recipe) for one in broken}
    lines.append(f"\n{told(language, 'summary', len(names), recipes, given, template='limits.j2')}")
    for line in lines:
        tell(line, aside=quiet)


def _reach(path: Path, supposed: WhatIf, *, as_document: bool) -> int:
    from gen.jobs.reach import machine_at, reach_as_object, reach_as_text, reach_of

    machine = machine_at(path, supposed)
    found = reach_of(machine)
    return answered(lambda: reach_as_object(found), lambda: reach_as_text(found, machine), as_document=as_document)
