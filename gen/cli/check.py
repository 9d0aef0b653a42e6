"""``check``: programs read back and held against machine and recipe."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

import click

from gen.cli.shared import (
    FINDING,
    HOLDS,
    UNUSABLE,
    a_file,
    as_json_option,
    control_folders,
    plainly,
    say,
    state_options,
)
from gen.errors import DressblockError

if TYPE_CHECKING:
    from gen.reports import Checked

STYLES = ("text", "json", "junit", "sarif")


@click.command()
@click.argument("programs", nargs=-1, required=True, type=a_file)
@click.option("--machine", type=a_file, help="Machine file; the one the heading names unless given.")
@click.option("--recipe", type=a_file, help="Recipe file; the one the heading names unless given.")
@click.option("--machines", "root", type=a_file, help="Folder of machine folders to look in.")
@click.option("--format", "style", type=click.Choice(STYLES), default="text", show_default=True)
@click.option("--find", is_flag=True, help="Look for a dress without marks by its motion.")
@state_options
@control_folders
@as_json_option
@plainly
def check(
    programs: tuple[Path, ...],
    machine: Path | None,
    recipe: Path | None,
    root: Path | None,
    style: str,
    find: bool,
    wheel_diameter: tuple[Decimal, ...],
    wheel_gauge: Decimal | None,
    stick_length: Decimal | None,
    slide_position: Decimal | None,
    controls: tuple[Path, ...],
    as_document: bool,
) -> int:
    """Read PROGRAMS back and hold them against machine and recipe; a folder stands for the programs below it."""
    from gen.checking import Named
    from gen.checking import check as judged
    from gen.cli.generate import options_of
    from gen.locate import programs_in
    from gen.report import finding_line, summary
    from gen.reports import Checked

    style = "json" if as_document else style
    quiet = style != "text"
    chosen = options_of(
        None, wheel_diameter, wheel_gauge, stick_length, slide_position, resolve=False, prove_out=False, controls=()
    )
    named = Named(machine, recipe, root, controls, find, chosen)
    worst, found = HOLDS, []
    for path in programs_in(programs, controls):
        try:
            findings = judged(path, named)
        except DressblockError as error:
            say(str(error))
            found.append(Checked(str(path), error=str(error)))
            worst = UNUSABLE
            continue
        found.append(Checked(str(path), tuple(findings)))
        for finding in findings:
            click.echo(finding_line(str(path), finding), err=quiet)
        click.echo(f"{path}: {summary(findings)}", err=quiet)
        if any(finding.severity == "error" for finding in findings):
            worst = max(worst, FINDING)
    if quiet:
        click.echo(_report(style, found))
    return worst


def _report(style: str, found: list[Checked]) -> str:
    from gen.report import as_json, finding_json

    if style == "junit":
        from gen.reports import junit

        return junit(found).rstrip("\n")
    if style == "sarif":
        from gen.reports import sarif

        return as_json(sarif(found, Path.cwd()))
    rows = [finding_json(program.path, finding) for program in found for finding in program.findings]
    return as_json({"findings": rows})
