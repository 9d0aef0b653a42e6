"""``check``: programs read back and held against machine and recipe."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gen.base.errors import DressblockError
from gen.cli.options import chosen, control_folders, jobs_option, state_options
from gen.cli.shared import (
    HOLDS,
    UNUSABLE,
    Progress,
    errors_json,
    leave_out,
    plainly,
    print_document,
    say,
    tell,
    tell_checked,
)
from gen.cli.values import a_file

if TYPE_CHECKING:
    from gen.control.options import Options
    from gen.jobs.reports.checked import Checked

STYLES = ("text", "json", "junit", "sarif")


@click.command()
@click.argument("programs", nargs=-1, required=True, type=a_file)
@click.option("--machine", type=a_file, help="Machine file; the one the heading names unless given.")
@click.option("--recipe", type=a_file, help="Recipe file; the one the heading names unless given.")
@click.option("--machines", "root", type=a_file, help="Folder of machine folders to look in.")
@click.option("--format", "style", type=click.Choice(STYLES), default="text", show_default=True)
@click.option("--find", is_flag=True, help="Look for a dress without marks by its motion.")
@click.option("--skip-plain", is_flag=True, help="Leave programs without a dress block alone, though named.")
@chosen(*state_options, control_folders)
@jobs_option
@plainly
def check(
    programs: tuple[Path, ...],
    machine: Path | None,
    recipe: Path | None,
    root: Path | None,
    style: str,
    find: bool,
    skip_plain: bool,
    options: Options,
    jobs: int,
    as_document: bool,
) -> int:
    """Read PROGRAMS back and hold them against machine and recipe; a folder means every program below it."""
    from gen.base.parallel import in_order
    from gen.jobs.check import checked
    from gen.jobs.locate import programs_in
    from gen.jobs.provenance import Named
    from gen.jobs.report import summary
    from gen.jobs.reports.checked import Checked

    if as_document:
        leave_out("--json prints JSON", format=style not in ("text", "json"))
        style = "json"
    leave_out("--machine names the machine's file itself", machines=machine and root)
    quiet = style != "text"
    named = Named(machine, recipe, root, find, options)
    worst, found = HOLDS, []
    try:
        below = programs_in(programs, options.control_folders)
    except DressblockError as error:
        if quiet:
            print_document(_report(style, [Checked(error.file, failure=error)]))
        say(str(error))
        return UNUSABLE
    listed = [(path, alone and not skip_plain) for path, alone in below.items()]
    results = in_order(partial(checked, named), listed, jobs)
    for count, (place, _) in enumerate(listed, 1):
        with Progress(f"{count} of {len(listed)}: {place}"):
            one = next(results)
        found.append(one)
        worst = max(worst, tell_checked(one, quiet=quiet))
        if not one.left and not one.error:
            tell(f"{one.path}: {summary(one.findings)}", aside=quiet)
    if all(one.left for one in found) and not skip_plain:
        none = DressblockError("there is no program with a dress block below the folders named.", file=programs[0])
        say(str(none))
        found.append(Checked(str(programs[0]), failure=none))
        worst = UNUSABLE
    if quiet:
        print_document(_report(style, found))
    return worst


def _report(style: str, found: list[Checked]) -> str:
    from gen.jobs.report import as_json, finding_json

    if style == "junit":
        from gen.jobs.reports.junit import junit

        return junit(found)
    if style == "sarif":
        from gen.jobs.reports.sarif import sarif

        return f"{as_json(sarif(found, Path.cwd()))}\n"
    document = {
        "programs": [_program(program) for program in found if not program.error and not program.left],
        "findings": [finding_json(program.path, finding) for program in found for finding in program.findings],
        "left_alone": [{"file": program.path, "why": program.left} for program in found if program.left],
        "errors": [error for program in found if program.failure for error in errors_json(program.failure)],
    }
    return f"{as_json(document)}\n"


def _program(program: Checked) -> dict[str, Any]:
    return {
        "file": program.path,
        "judged": {rule: program.verdict(rule) for rule in sorted(program.judged)},
        "silent": dict(sorted(program.silent.items())),
    }
