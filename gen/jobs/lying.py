"""What lies in the folder of programs, beside what the recipes at hand would write there."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path

from gen.base.errors import DressblockError
from gen.base.finding import Finding
from gen.base.lines import lines_of
from gen.control.heading import Heading, same_name
from gen.control.options import Options
from gen.control.seal import blocks
from gen.jobs.generate import Job, Made, compare, place_of, prepare, read_program
from gen.jobs.locate import programs_in
from gen.jobs.provenance import heading_in, is_of, options_as_made, renamed_recipe
from gen.jobs.reports.checked import Checked


def heading_of(path: Path) -> Heading | None:
    """The heading of the first dress in the program at ``path``; None if it is not one of ours, or cannot be read."""
    try:
        lines = lines_of(read_program(path))
    except DressblockError:
        return None
    marked = next(blocks(lines), None)
    return None if marked is None else heading_in(lines, marked)


def compared(job: Job, out: Path, options: Options) -> Job:
    """``job`` held against the program at its place, in the form and language of that, unless others are asked for."""
    path = place_of(job, out)
    heading = None if job.refused else heading_of(path)
    if heading is None:
        return compare(job, path, options.language)
    edition, form = job.program.edition, options.form or heading.edition.form
    language = options.language if options.language != "en" else heading.language
    if (form, language) != (edition.form, options.language):
        wanted = replace(options, after_truing=edition.after_truing, form=form, language=language)
        job = next((one for one in prepare(job.recipe_path, wanted) if place_of(one, out) == path), job)
    return compare(job, path, language)


def others(out: Path, made: Iterable[Made], options: Options) -> Iterator[Job | Checked]:
    """The programs of ours below ``out`` that are not at the place of one ``made``.

    Each is compared, or that nothing explains it is a finding.
    """
    made = list(made)
    if not out.is_dir():
        return
    expected = {one.place.resolve() for one in made}
    try:
        programs = programs_in([out], options.control_folders)
    except DressblockError:
        return
    for path in programs:
        heading = None if path.resolve() in expected else heading_of(path)
        if heading is None:
            continue
        here = [one for one in made if is_of(heading, one.machine)]
        recipe = next((one.recipe for one in here if same_name(one.recipe.stem, heading.recipe)), None)
        if recipe is None:
            yield _stray(path, _gone(path, heading, here[0].machine if here else None))
            continue
        jobs = prepare(recipe, options_as_made(heading, options.control_folders))
        job = next((one for one in jobs if place_of(one, out).resolve() == path.resolve()), None)
        if job is not None:
            yield compare(job, path, heading.language)
        else:
            yield _stray(path, _copied(heading, place_of(jobs[0], out)))


def _stray(path: Path, reason: str) -> Checked:
    """The program of ours at ``path`` that no recipe at hand explains."""
    return Checked(str(path), (Finding("drift", None, "error", "changed", f"{path} {reason}"),))


def _gone(path: Path, heading: Heading, machine: Path | None) -> str:
    renamed = renamed_recipe(machine, next(blocks(lines_of(read_program(path)))))
    return (
        f"says that it is from recipe {heading.recipe} of machine {heading.machine}, and no such recipe is "
        f"there{renamed}; delete the program, here and on the machine, or bring the recipe back."
    )


def _copied(heading: Heading, place: Path) -> str:
    return (
        f"is a program for machine {heading.machine}, whose place is {place}; delete this copy, and generate a program "
        "from a recipe of this machine."
    )
