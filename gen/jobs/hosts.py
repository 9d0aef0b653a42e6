"""The grinding programs in which a dress was put, each held against what its recipe gives now."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from gen.base.errors import FAILURES, DressblockError, as_told
from gen.base.finding import Finding
from gen.base.lines import lines_of
from gen.control.options import Options
from gen.control.seal import DRESSES, MarkedBlock, blocks
from gen.jobs.belonging import renamed_recipe
from gen.jobs.generate import BYTE_ORDER_MARK, read_text
from gen.jobs.locate import machine_of, programs_in, recipe_of
from gen.jobs.made import heading_in_words, is_spliced
from gen.jobs.stale import compared_in_host


def spliced(
    folder: Path, options: Options, files: tuple[Path, ...] = ()
) -> Iterator[tuple[Path, list[Finding]] | DressblockError]:
    """The findings about each program at or below ``folder`` in which a dress was put; what stops one is told.

    ``files``: programs that they call.
    """
    for path in programs_in([folder], options.control_folders):
        try:
            lines = lines_of(read_text(path).removeprefix(BYTE_ORDER_MARK))
            put = [block for block in blocks(lines, (*DRESSES, "CALL")) if is_spliced(lines, block)]
            found = [finding for block in put for finding in _against_its_recipe(path, lines, block, options, files)]
            if put:
                yield path, found
        except FAILURES as failure:
            yield as_told(failure).within(path)


def _against_its_recipe(
    path: Path, lines: list[str], block: MarkedBlock, options: Options, files: tuple[Path, ...]
) -> list[Finding]:
    heading = heading_in_words(lines, block)
    machine = None if heading is None else machine_of(heading, path)
    recipe = None if heading is None or machine is None else recipe_of(heading, machine)
    return against_recipe(path, lines, block, machine, recipe, options, files)


def against_recipe(
    path: Path,
    lines: list[str],
    block: MarkedBlock,
    machine: Path | None,
    recipe: Path | None,
    options: Options,
    files: tuple[Path, ...] = (),
) -> list[Finding]:
    """The findings about the dress, or the call of one, that was put into the program at ``path`` as ``block``.

    ``machine`` and ``recipe``: the files that its heading names, where they are. ``files``: programs that it calls.
    """
    heading = heading_in_words(lines, block)
    if heading is None:
        reason = f"the call of dress {block.number} does not say which recipe it is from; splice it again."
        return [Finding("drift", block.first, "error", "changed", reason)]
    if recipe is None:
        renamed = "" if machine is None else renamed_recipe(machine.parent / "dress", block.number)
        reason = (
            f"dress {block.number} says that it is from recipe {heading.recipe} of machine {heading.machine}, and no "
            f"such recipe is there{renamed}; bring it back, or splice another in its place."
        )
        return [Finding("drift", block.first, "error", "changed", reason)]
    return compared_in_host(path, lines, block, heading, recipe, options, files)
