"""The grinding programs in which a dress was put, each dress and each call held against what its recipe gives now."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from gen.base.errors import FAILURES, as_told
from gen.base.finding import Finding, errors_in
from gen.base.lines import lines_of
from gen.control.heading import same_name
from gen.control.options import Options
from gen.control.seal import DRESSES, MarkedBlock, blocks
from gen.jobs.generate import Job, compare, place_of, prepare, read_program
from gen.jobs.locate import programs_in
from gen.jobs.lying import heading_of
from gen.jobs.provenance import Named, Provenance, is_spliced, options_as_made, provenance, renamed_recipe
from gen.jobs.reports.checked import Checked


def spliced(folder: Path, options: Options, files: tuple[Path, ...] = ()) -> Iterator[Checked]:
    """Each program at or below ``folder`` in which a dress was put. ``files``: programs that they call."""
    for path in programs_in([folder], options.control_folders):
        try:
            lines = lines_of(read_program(path))
            put = [block for block in blocks(lines, (*DRESSES, "CALL")) if is_spliced(lines, block)]
            dresses = [provenance(path, lines, block, Named()) for block in put]
            found = [finding for one in dresses for finding in against_recipe(one, options, files)]
            if put:
                yield Checked(str(path), tuple(found))
        except FAILURES as failure:
            yield Checked(str(path), failure=as_told(failure).within(path))


def against_recipe(own: Provenance, options: Options, files: tuple[Path, ...] = ()) -> list[Finding]:
    """The findings about ``own``, a dress or the call of one that was put into its program: it is spliced anew.

    ``files``: programs that it calls.
    """
    block = own.marked
    assert block is not None
    if own.heading is None:
        reason = f"the call of dress {block.number} does not say which recipe it is from; splice it again."
        return [Finding("drift", block.first, "error", "changed", reason)]
    if own.recipe is None:
        reason = (
            f"dress {block.number} says that it is from recipe {own.heading.recipe} of machine {own.heading.machine}, "
            f"and no such recipe is there{renamed_recipe(own.machine, block)}; bring it back, or splice another in its "
            "place."
        )
        return [Finding("drift", block.first, "error", "changed", reason)]
    from gen.jobs.splice import Asked, compare_spliced, prepare_spliced

    chosen = options_as_made(own.heading, options.control_folders)
    asked = Asked.as_made(own.lines, block, chosen, files)
    return list(compare_spliced(prepare_spliced(own.path, own.recipe, asked)).findings)


def called(calls: Sequence[Provenance], options: Options) -> Iterator[Finding]:
    """The findings about the ``calls`` in a grinding program, and about the subprograms where those lie."""
    for own in calls:
        call = own.marked
        assert call is not None
        if call.altered:
            said = f"the call of dress {call.number} was changed since it was put here; splice it again."
            yield Finding("altered", call.first, "error", "changed", said)
        if own.otherwise:
            yield Finding("recipe", call.first, "warning", "unproven", own.otherwise)
            continue
        for one in errors_in(against_recipe(own, options)):
            if not (call.altered and one.rule == "altered"):
                yield one
        if own.heading is not None and own.recipe is not None:
            # what this program finds set is no affair of the subprogram, which others may call as well
            asked = replace(options_as_made(own.heading, options.control_folders), begins={})
            jobs = prepare(own.recipe, asked)
            job = next((one for one in jobs if one.program.edition.after_truing == asked.after_truing), None)
            if job is not None and not job.refused:
                yield from _subprogram(own.path, call, job, asked.language)


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
            yield from (replace(one, line=call.first) for one in errors_in(compare(job, place, language).findings))
            return
        no = no or f"; {place} is a {heading.edition.form}"
    said = (
        f"dress {call.number} is called here, and its subprogram lies neither beside this program nor in "
        f"{generated.parent}{no}; write it with generate --form subprogram, and check it."
    )
    yield Finding("recipe", call.first, "warning", "unproven", said)
