"""Dresses that a grinding program calls: each call held against its recipe, and the subprogram where that lies."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from gen.base.finding import Finding
from gen.control.heading import same_name
from gen.control.options import Options
from gen.control.seal import MarkedBlock
from gen.jobs.belonging import Belonging
from gen.jobs.generate import Job, compare, place_of, prepare
from gen.jobs.hosts import against_recipe
from gen.jobs.lying import heading_of
from gen.jobs.made import options_as_made


def called(
    path: Path, lines: list[str], calls: Sequence[tuple[MarkedBlock, Belonging | None]], options: Options
) -> Iterator[Finding]:
    """The findings about the ``calls`` in the grinding program at ``path``, each with the files it is held against."""
    for call, whole in calls:
        if call.altered:
            said = f"the call of dress {call.number} was changed since it was put here; splice it again."
            yield Finding("altered", call.first, "error", "changed", said)
        if whole is not None and whole.otherwise:
            yield Finding("recipe", call.first, "warning", "unproven", whole.otherwise)
            continue
        machine, recipe = (None, None) if whole is None else (whole.machine, whole.recipe)
        for one in against_recipe(path, lines, call, machine, recipe, options):
            if one.severity == "error" and not (call.altered and one.rule == "altered"):
                yield one
        if whole is not None and whole.heading is not None and recipe is not None:
            # what this program finds set is no affair of the subprogram, which others may call as well
            asked = replace(options_as_made(whole.heading), begins={}, control_folders=options.control_folders)
            jobs = prepare(recipe, asked)
            job = next(one for one in jobs if one.program.edition.after_truing == asked.after_truing)
            yield from () if job.refused else _subprogram(path, call, job, asked.language)


def _subprogram(path: Path, call: MarkedBlock, job: Job, language: str) -> Iterator[Finding]:
    """A finding unless the subprogram of ``job`` lies beside the program at ``path``, or where it was generated to."""
    generated = place_of(job, Path("programs"))
    beside = sorted(path.parent.glob(f"*{call.number}*{generated.suffix}"))
    folders = (Path(), *path.resolve().parents)
    no = ""
    for place in (*beside, path.with_name(generated.name), *(folder / generated for folder in folders)):
        heading = heading_of(place)
        if heading is None or not same_name(heading.recipe, job.recipe_path.stem):
            continue
        if heading.edition.form == "subprogram":
            found = (one for one in compare(job, place, language).findings if one.severity == "error")
            yield from (replace(one, line=call.first) for one in found)
            return
        no = no or f"; {place} is a {heading.edition.form}"
    said = (
        f"dress {call.number} is called here, and its subprogram lies neither beside this program nor in "
        f"{generated.parent}{no}; write it with generate --form subprogram, and check it."
    )
    yield Finding("recipe", call.first, "warning", "unproven", said)
