"""What lies in the folder of programs, beside what the recipes at hand would write there."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

from gen.base.dataclass import dataclass
from gen.base.errors import DressblockError
from gen.base.finding import Finding
from gen.base.lines import lines_of
from gen.control.heading import Heading, same_name
from gen.control.options import Options
from gen.control.seal import blocks
from gen.jobs.belonging import renamed_recipe
from gen.jobs.generate import Job, compare, place_of, prepare, read_text
from gen.jobs.locate import names_of, programs_in
from gen.jobs.made import heading_in_words, options_as_made


class Made(NamedTuple):
    """A recipe with its machine file, and the place of a program of theirs."""

    recipe: Path
    machine: Path
    place: Path


@dataclass(frozen=True)
class Stray:
    """A program of ours at ``path`` that no recipe at hand explains, and why that is wrong."""

    path: Path
    finding: Finding


def made_with(path: Path, options: Options) -> Options:
    """``options`` with the form and language that the program at ``path`` has, where nothing else was asked for."""
    heading = heading_of(path)
    if heading is None:
        return options
    language = options.language if options.language != "en" else heading.language
    return replace(options, form=options.form or heading.edition.form, language=language)


def heading_of(path: Path) -> Heading | None:
    """The heading of the first dress in the program at ``path``; None if it is not one of ours, or cannot be read."""
    try:
        lines = lines_of(read_text(path))
    except DressblockError:
        return None
    marked = next(blocks(lines), None)
    return None if marked is None else heading_in_words(lines, marked)


def compared(job: Job, out: Path, options: Options) -> Job:
    """``job`` held against the program that lies at its place, made anew with the options that one was made with."""
    path = place_of(job, out)
    if job.refused or not path.is_file():
        return compare(job, path, options.language)
    asked = replace(options, after_truing=job.program.edition.after_truing)
    wanted = made_with(path, asked)
    if wanted == asked:
        return compare(job, path, options.language)
    again = [one for one in prepare(job.recipe_path, wanted) if place_of(one, out) == path]
    return compare(again[0] if again else job, path, wanted.language)


def others(out: Path, made: Iterable[Made], options: Options) -> Iterator[Job | Stray]:
    """The programs of ours below ``out`` that are not at the place of one ``made``, each compared or explained."""
    made = list(made)
    if not out.is_dir():
        return
    expected = {one.place.resolve() for one in made}
    recipes = {names_of(one.recipe, one.machine): one.recipe for one in made}
    try:
        programs = programs_in([out], options.control_folders)
    except DressblockError:
        return
    for path in programs:
        if path.resolve() in expected:
            continue
        heading = heading_of(path)
        if heading is None:
            continue
        recipe = next(
            (
                file
                for (machine, name), file in recipes.items()
                if same_name(machine, heading.machine) and same_name(name, heading.recipe)
            ),
            None,
        )
        if recipe is None:
            yield Stray(path, _gone(path, heading, [one.machine for one in made]))
            continue
        chosen = replace(options_as_made(heading), control_folders=options.control_folders)
        jobs = prepare(recipe, chosen)
        here = [job for job in jobs if place_of(job, out).resolve() == path.resolve()]
        if here:
            yield compare(here[0], path, heading.language)
        else:
            yield Stray(path, _elsewhere(path, heading, place_of(jobs[0], out)))


def _gone(path: Path, heading: Heading, machines: Iterable[Path]) -> Finding:
    own = next((file for file in machines if same_name(file.resolve().parent.name, heading.machine)), None)
    marked = next(blocks(lines_of(read_text(path))))
    renamed = "" if own is None else renamed_recipe(own.parent / "dress", marked.number)
    return _changed(
        f"{path} says that it is from recipe {heading.recipe} of machine {heading.machine}, and no such recipe is "
        f"there{renamed}; delete the program, here and on the machine, or bring the recipe back."
    )


def _elsewhere(path: Path, heading: Heading, place: Path) -> Finding:
    return _changed(
        f"{path} is a program for machine {heading.machine}, whose place is {place}; delete this copy, and generate "
        "a program from a recipe of this machine."
    )


def _changed(reason: str) -> Finding:
    return Finding("drift", None, "error", "changed", reason)
