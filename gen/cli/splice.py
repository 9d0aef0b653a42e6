"""``splice``: a dress put into a grinding program, or put there again."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gen.base.errors import DressblockError
from gen.cli.options import (
    chosen,
    control_folders,
    language_option,
    prove_out_option,
    resolve_option,
    state_options,
)
from gen.cli.shared import (
    FINDING,
    HOLDS,
    Progress,
    errors_json,
    leave_out,
    plainly,
    print_json,
    say,
    tell,
    tell_checked,
)
from gen.cli.values import a_file

if TYPE_CHECKING:
    from gen.control.options import Options
    from gen.jobs.splice import Spliced


@click.command()
@click.argument("host", type=a_file)
@click.argument("recipe", type=a_file, required=False)
@click.option("--check", "only_check", is_flag=True, help="Write nothing; fail if what HOST, or any below it, differs.")
@click.option("--after", help="The number of the line behind which the dress goes, such as N120.")
@click.option("--out", type=a_file, help="Where to write the program; HOST itself unless given.")
@click.option("--as", "form", type=click.Choice(["block", "call"]), default="block", show_default=True)
@click.option("--return", "back", is_flag=True, help="Go back to where the program stood before the dress.")
@click.option("--set", "settings", multiple=True, metavar="503=6", help="A register as the program finds it.")
@click.option(
    "--with", "files", type=a_file, multiple=True, help="The file of a program that HOST calls; may be repeated."
)
@chosen(resolve_option, prove_out_option, *state_options, control_folders, language_option)
@click.option("--after-truing", is_flag=True, help="The first opening after truing, where the recipe has one.")
@click.option("--force", is_flag=True, help="Replace a dress that was changed by hand.")
@plainly
def splice(
    host: Path,
    recipe: Path | None,
    only_check: bool,
    after: str | None,
    out: Path | None,
    form: str,
    back: bool,
    settings: tuple[str, ...],
    files: tuple[Path, ...],
    after_truing: bool,
    force: bool,
    options: Options,
    as_document: bool,
) -> int:
    """Put the dress of RECIPE into the grinding program HOST, where a comment says DRESS HERE.

    What the program had in force is restored after the dress, and the program
    is proven to go on as it did; else it is refused, and nothing is written.

    With --check, RECIPE may be left out: each dress names its own, and a
    folder means every grinding program below it.
    """
    from gen.base.errors import listed
    from gen.jobs.report import finding_line, summary
    from gen.jobs.splice import Asked, compare_spliced, prepare_spliced, write_spliced
    from gen.jobs.trace import settings_of

    if only_check:
        leave_out("--check writes nothing", out=out, force=force)
    if recipe is None:
        if not only_check:
            raise DressblockError("name the recipe too; without one there is only --check.")
        leave_out(
            "without RECIPE each dress is held against its own, as it was put there",
            after=after,
            as_=form == "call",
            return_=back,
            set=settings,
            after_truing=after_truing,
            prove_out=options.purpose == "prove-out",
            resolve=options.resolve,
            **dict.fromkeys(options.given, True),
        )
        return _all_checked(host, options, files, as_document=as_document)
    options = replace(options, after_truing=after_truing, begins=settings_of(settings))
    asked = Asked(after=after, call=form == "call", back=back, files=files, options=options)
    target = out or host
    with Progress(f"{host}: reading it with the dress of {recipe}"):
        prepared = prepare_spliced(host, recipe, asked)
        job = compare_spliced(prepared) if only_check else write_spliced(prepared, target, force=force)
    for finding in job.findings:
        tell(finding_line(str(host if job.refused else target), finding), aside=as_document or job.refused)
    if job.by_registers and options.given:
        kept = f"the dress reads wheel and stick from registers; {listed(options.given, 'and')} changed nothing"
        say(f"{target}: {kept}. For numbers add --resolve.")
    if job.refused:
        say(f"{host}: {'differs' if only_check else 'refused, nothing written'}")
    else:
        tell(f"{target}: {_said(job)}; {summary(job.findings)}", aside=as_document)
    if as_document:
        print_json(_document(job, target))
    return FINDING if job.refused else HOLDS


def _all_checked(folder: Path, options: Options, files: tuple[Path, ...], *, as_document: bool) -> int:
    """Every dress in the grinding programs below ``folder``, held against what its own recipe gives."""
    from gen.jobs.hosts import spliced
    from gen.jobs.report import finding_json

    worst, found = HOLDS, []
    for one in spliced(folder, options, files):
        code = tell_checked(one, quiet=as_document)
        if code == HOLDS:
            tell(f"{one.path}: as its recipe gives", aside=as_document)
        worst = max(worst, code)
        found.append(one)
    if as_document:
        print_json(
            {
                "findings": [finding_json(one.path, finding) for one in found for finding in one.findings],
                "errors": [error for one in found if one.failure for error in errors_json(one.failure)],
            }
        )
    return worst


def _said(job: Spliced) -> str:
    where = f"lines {job.lines.start} to {job.lines.stop - 1}"
    what = f"dress {job.number}" if job.form == "block" else f"call of dress {job.number}"
    call = "; the control needs the subprogram too: generate --form subprogram" if job.form == "call" else ""
    return f"{'as it was, ' if job.same else ''}{what} in {where}{call}"


def _document(job: Spliced, target: Path) -> dict[str, Any]:
    from gen.jobs.report import finding_json

    return {
        "host": str(job.path),
        "program": None if job.refused else str(target),
        "dress": job.number,
        "form": job.form,
        "lines": None if job.refused else [job.lines.start, job.lines.stop - 1],
        "unchanged": job.same,
        "findings": [finding_json(str(job.path if job.refused else target), finding) for finding in job.findings],
    }
