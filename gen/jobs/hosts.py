"""The grinding programs in which a dress was put, each held against what its recipe gives now."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from gen.base.errors import FAILURES, DressblockError, as_told
from gen.base.finding import Finding
from gen.base.lines import lines_of
from gen.control.options import Options
from gen.control.seal import SPLICED, MarkedBlock, blocks
from gen.jobs.check import Named, options_of
from gen.jobs.generate import BYTE_ORDER_MARK, read_text
from gen.jobs.locate import machine_of, programs_in, recipe_of
from gen.jobs.lying import heading_in_words
from gen.jobs.splice import Asked, compare_spliced, prepare_spliced


def spliced(
    folder: Path, options: Options, files: tuple[Path, ...] = ()
) -> Iterator[tuple[Path, list[Finding]] | DressblockError]:
    """The findings about each program at or below ``folder`` that holds a dress as a block; what stops one is told.

    ``files``: programs that they call.
    """
    for path in programs_in([folder], options.control_folders):
        try:
            lines = lines_of(read_text(path).removeprefix(BYTE_ORDER_MARK))
            found = [
                finding for block in blocks(lines) for finding in _against_recipe(path, lines, block, options, files)
            ]
            if any(_is_spliced(lines, block) for block in blocks(lines)):
                yield path, found
        except FAILURES as failure:
            yield as_told(failure).within(path)


def _is_spliced(lines: list[str], block: MarkedBlock) -> bool:
    heading = heading_in_words(lines, block)
    around = [*lines[: block.first - 1], *lines[block.last :]]
    return heading is not None and heading.edition.form == "block" and any(line.strip(" %") for line in around)


def _against_recipe(
    path: Path, lines: list[str], block: MarkedBlock, options: Options, files: tuple[Path, ...]
) -> list[Finding]:
    if not _is_spliced(lines, block):
        return []
    heading = heading_in_words(lines, block)
    assert heading is not None
    machine = machine_of(heading, path)
    recipe = None if machine is None else recipe_of(heading, machine)
    if recipe is None:
        reason = (
            f"dress {block.number} says that it is from recipe {heading.recipe} of machine {heading.machine}, and no "
            "such recipe is there; bring it back, or splice another in its place."
        )
        return [Finding("drift", block.first, "error", "changed", reason)]
    chosen = replace(
        options_of(heading, Named(), by_numbers=False),
        form=None,
        control_folders=options.control_folders,
        language=heading.language,
    )
    back = any(one.kind == "RETURN" and one.number == block.number for one in blocks(lines, SPLICED))
    asked = Asked(back=back, files=files, options=chosen)
    return list(compare_spliced(prepare_spliced(path, recipe, asked)).findings)
