"""``check``: programs read back and held against machine and recipe."""

from __future__ import annotations

from pathlib import Path

import click

from gen.cli.shared import FINDING, HOLDS, UNUSABLE, a_file, as_json_option, control_folders, plainly, say
from gen.errors import DressblockError


@click.command()
@click.argument("programs", nargs=-1, required=True, type=a_file)
@click.option("--machine", type=a_file, help="Machine file; the one the heading names unless given.")
@click.option("--recipe", type=a_file, help="Recipe file; the one the heading names unless given.")
@click.option("--machines", "root", type=a_file, help="Folder of machine folders to look in.")
@click.option("--format", "style", type=click.Choice(["text", "json"]), default="text", show_default=True)
@control_folders
@as_json_option
@plainly
def check(
    programs: tuple[Path, ...],
    machine: Path | None,
    recipe: Path | None,
    root: Path | None,
    style: str,
    controls: tuple[Path, ...],
    as_document: bool,
) -> int:
    """Read PROGRAMS back and hold them against machine and recipe."""
    from gen.checking import Named
    from gen.checking import check as judged
    from gen.report import as_json, finding_json, finding_line, summary

    document = as_document or style == "json"
    named = Named(machine, recipe, root, controls)
    worst, found = HOLDS, []
    for path in programs:
        try:
            findings = judged(path, named)
        except DressblockError as error:
            say(str(error))
            worst = UNUSABLE
            continue
        found += [finding_json(str(path), finding) for finding in findings]
        for finding in findings:
            click.echo(finding_line(str(path), finding), err=document)
        click.echo(f"{path}: {summary(findings)}", err=document)
        if any(finding.severity == "error" for finding in findings):
            worst = max(worst, FINDING)
    if document:
        click.echo(as_json({"findings": found}))
    return worst
