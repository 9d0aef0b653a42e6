"""``generate``: program and sheet for each recipe, if every bound holds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import field
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gen.base.dataclass import dataclass
from gen.base.errors import FAILURES, as_told
from gen.cli.options import (
    chosen,
    control_folders,
    form_option,
    gap_check_option,
    jobs_option,
    language_option,
    out_option,
    prove_out_option,
    resolve_option,
    state_options,
)
from gen.cli.shared import FINDING, HOLDS, UNUSABLE, errors_json, leave_out, plainly, print_json, say, tell
from gen.cli.values import a_file

if TYPE_CHECKING:
    from gen.base.finding import Finding
    from gen.control.options import Options
    from gen.jobs.generate import Job, Made


@click.command()
@click.argument("recipes", nargs=-1, required=True, type=a_file)
@out_option
@chosen(
    form_option, resolve_option, prove_out_option, gap_check_option, *state_options, control_folders, language_option
)
@click.option("--check", "only_check", is_flag=True, help="Write nothing; fail if what is there differs.")
@click.option("--force", is_flag=True, help="Write over a program that was changed by hand.")
@jobs_option
@plainly
def generate(
    recipes: tuple[Path, ...],
    out: Path,
    only_check: bool,
    force: bool,
    options: Options,
    jobs: int,
    as_document: bool,
) -> int:
    """Program and sheet for each of RECIPES, if every bound holds; a folder means every recipe below it.

    With --check a folder of recipes must account for every program below
    --out: prove-outs too, and what was made with other options.
    """
    if only_check:
        leave_out("--check writes nothing", force=force)
    worst, document = generate_all(
        recipes, out, options, only_check=only_check, force=force, quiet=as_document, jobs=jobs
    )
    if as_document:
        print_json(document)
    return worst


def generate_all(
    recipes: Iterable[Path],
    out: Path,
    options: Options,
    *,
    only_check: bool,
    force: bool,
    quiet: bool,
    jobs: int = 1,
) -> tuple[int, dict[str, Any]]:
    """The exit and the JSON document of ``generate``; what it says goes to standard error where it is ``quiet``."""
    from gen.base.languages import language
    from gen.base.parallel import in_order
    from gen.jobs.generate import number_clashes
    from gen.jobs.locate import recipes_in

    language(options.language)
    recipes = list(recipes)
    paths = recipes_in(recipes)
    whole = only_check and any(path.is_dir() for path in recipes)
    worst, documents, errors, made = HOLDS, [], [], []
    results = in_order(partial(_work, out, options, only_check, force, quiet), paths, jobs)
    for count, path in enumerate(paths, 1):
        if len(paths) > 1:
            say(f"[{count}/{len(paths)}] {path}")
        done = next(results)
        for line, aside in done.lines:
            tell(line, aside=aside)
        documents += done.documents
        errors += done.errors
        made += done.made
        worst = max(worst, done.worst)
    if whole:
        for holds, line, document in _others(out, made, options):
            tell(line, aside=quiet)
            documents.append(document)
            worst = max(worst, HOLDS if holds else FINDING)
    for sentence in number_clashes(made):
        say(f"warning: {sentence}")
    return worst, {"programs": documents} | ({"errors": errors} if errors else {})


@dataclass
class _Done:
    """What became of one recipe, as it is told: lines, each with whether it goes to standard error, and documents."""

    worst: int = HOLDS
    lines: list[tuple[str, bool]] = field(default_factory=list)
    documents: list[dict[str, Any]] = field(default_factory=list)
    errors: list[dict[str, str]] = field(default_factory=list)
    made: list[Made] = field(default_factory=list)


def _work(out: Path, options: Options, only_check: bool, force: bool, quiet: bool, path: Path) -> _Done:
    """The work on the recipe at ``path``, which may be done in a process of its own."""
    from gen.jobs.generate import made_of, prepare, write

    done = _Done()
    try:
        for prepared in prepare(path, options):
            if only_check:
                from gen.jobs.lying import compared

                job = compared(prepared, out, options)
            else:
                job = write(prepared, out, force=force, language=options.language)
            done.made.append(made_of(job, out))
            done.documents.append(_document(job))
            if job.program.by_registers and options.given:
                done.lines.append((f"{path}: {_only_on_the_sheet(options.given)}", True))
            done.lines += [(line, quiet or job.refused) for line in _told(job, compared=only_check)]
            done.worst = max(done.worst, FINDING if job.refused else HOLDS)
    except FAILURES as failure:
        error = as_told(failure).within(path)
        done.lines.append((str(error), True))
        done.documents.append({**_row(str(path), (), recipe=str(path)), "error": str(error)})
        done.errors += errors_json(error)
        done.worst = UNUSABLE
    return done


def _others(out: Path, made: list[Made], options: Options) -> Iterator[tuple[bool, str, dict[str, Any]]]:
    """Of each program of ours below ``out`` that is at the place of none ``made``: if it holds, and how it is told."""
    from gen.jobs.lying import others
    from gen.jobs.report import finding_line
    from gen.jobs.reports.checked import Checked

    for one in others(out, made, options):
        if isinstance(one, Checked):
            lines = [finding_line(one.path, finding) for finding in one.findings]
            yield not one.broken, "\n".join(lines), _row(one.path, one.findings, program=one.path)
        else:
            yield not one.refused, "\n".join(_told(one, compared=True)), _document(one)


def _only_on_the_sheet(given: tuple[str, ...]) -> str:
    from gen.base.errors import listed

    are = "is" if len(given) == 1 else "are"
    return (
        f"the program reads wheel and stick from registers; {listed(given, 'and')} {are} on the sheet only. "
        "For numbers in the program add --resolve."
    )


def _told(job: Job, *, compared: bool) -> list[str]:
    from gen.jobs.report import finding_line, summary

    lines = [finding_line(str(job.recipe_path), finding) for finding in job.findings]
    if job.refused:
        differs = "would be refused now" if job.program_path is None else "differs"
        lines.append(f"{job.recipe_path}: {differs if compared else 'refused, nothing written'}")
    elif compared:
        lines.append(f"{job.program_path}: as generated")
    else:
        what = "written with its sheet" if job.sheet_paths else "written"
        lines.append(f"{job.program_path}: {what}; {summary(job.findings)}")
    return [*lines, *(() if job.drift is None else job.drift.diff)]


def _document(job: Job) -> dict[str, Any]:
    from dataclasses import asdict

    row = _row(
        str(job.program_path or job.recipe_path),
        job.findings,
        recipe=str(job.recipe_path),
        machine=str(job.machine_path),
        program=None if job.program_path is None else str(job.program_path),
        sheet=next(map(str, job.sheet_paths), None),
    )
    if job.drift is None:
        return row
    return {**row, "drift": [asdict(one) for one in job.drift.differences], "causes": job.drift.causes}


def _row(file: str, findings: Iterable[Finding], **names: str | None) -> dict[str, Any]:
    """The document of a program, by the names of its files, with the ``findings`` about ``file``."""
    from gen.jobs.report import finding_json

    row: dict[str, Any] = dict.fromkeys(("recipe", "machine", "program", "sheet"))
    return {**row, **names, "findings": [finding_json(file, finding) for finding in findings]}
