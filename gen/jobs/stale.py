"""Dresses that are no longer what their recipe gives, in programs that may still be within bounds."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from gen.base.errors import listed
from gen.base.finding import Finding
from gen.base.lines import lines_of
from gen.control.draft import draft
from gen.control.folders import folders_of
from gen.control.heading import Heading
from gen.control.options import Options
from gen.control.origin import digest_of, without_origin
from gen.control.seal import MarkedBlock, blocks
from gen.jobs.locate import names_of
from gen.jobs.made import heading_in_words, is_spliced, options_as_made
from gen.shop.load import load_machine, load_recipe


def stale(
    path: Path, lines: list[str], block: MarkedBlock, machine_path: Path, recipe_path: Path, options: Options
) -> Iterator[Finding]:
    """A finding where machine file or recipe changed since ``block`` was made, and give another one now.

    Two things that no bound can see are proven anew at any rate: a way back behind it, and that its program has waited
    for the spindle at every passage. A block that was changed by hand is told by other means.
    """
    heading = heading_in_words(lines, block)
    if heading is None or block.altered:
        return
    for back in blocks(lines, ("RETURN",)):
        between = range(block.last + 1, back.first)
        if back.number == block.number and (put_in := [at for at in between if lines[at - 1].strip()]):
            said = (
                f"this stands between dress {block.number} and its way back, where splice writes nothing; take it out."
            )
            yield Finding("altered", put_in[0], "error", "changed", said)
            return
    machine, recipe = load_machine(machine_path), load_recipe(recipe_path)
    now = {"machine": digest_of(machine), "recipe": digest_of(recipe)}
    said_of = heading.origin
    changed = [] if said_of is None else [what for what, digits in now.items() if digits != getattr(said_of, what)]
    spliced = is_spliced(lines, block)
    waited = spliced and heading.edition.at_speed
    if not changed and not waited and not (spliced and _way_back(lines, block)):
        return
    if spliced:
        found = compared_in_host(path, lines, block, heading, recipe_path, options)
        if not changed:
            yield from (one for one in found if one.certainty == "changed" or (waited and one.severity == "error"))
            return
        if not any(one.severity == "error" for one in found):
            return
    else:
        folders = folders_of(machine, machine_path, options.control_folders)
        chosen = replace(options_as_made(heading), control_folders=folders)
        program = draft(recipe, machine, names_of(recipe_path, machine_path), chosen)
        if _body(lines_of(program.text)) == _body(lines):
            return
    what = f"its {listed(changed, 'and')} {'was' if len(changed) == 1 else 'were'} changed since"
    again = "splice it again, and prove it out" if spliced else "generate it again"
    reason = f"dress {block.number} is no longer what its recipe and machine give; {what}: {again}."
    yield Finding("drift", block.first, "error", "changed", reason)


def _way_back(lines: list[str], block: MarkedBlock) -> bool:
    return any(one.number == block.number for one in blocks(lines, ("RETURN",)))


def _body(lines: list[str]) -> list[str]:
    """The lines of the first dress among ``lines``, as its digest counts them."""
    marked = next(blocks(lines))
    return [line.strip() for line in without_origin(lines[marked.first : marked.last - 1])]


def compared_in_host(
    path: Path,
    lines: list[str],
    block: MarkedBlock,
    heading: Heading,
    recipe_path: Path,
    options: Options,
    files: tuple[Path, ...] = (),
) -> list[Finding]:
    """The findings about the dress ``block`` in the grinding program at ``path``, spliced anew as it was made.

    ``files``: programs that it calls.
    """
    from gen.jobs.splice import Asked, compare_spliced, prepare_spliced

    chosen = replace(options_as_made(heading), control_folders=options.control_folders)
    asked = Asked.as_made(lines, block, chosen, files)
    return list(compare_spliced(prepare_spliced(path, recipe_path, asked)).findings)
