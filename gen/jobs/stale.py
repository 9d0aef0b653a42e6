"""Dresses that are no longer what their recipe gives, in programs that may still be within bounds."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.errors import listed
from gen.base.finding import Finding, errors_in
from gen.base.lines import lines_of
from gen.control.draft import Program
from gen.control.options import Options
from gen.control.origin import without_origin
from gen.control.seal import blocks
from gen.jobs.hosts import against_recipe
from gen.jobs.provenance import Provenance, is_spliced


def stale(own: Provenance, program: Program, options: Options) -> Iterator[Finding]:
    """A finding where machine file or recipe changed since the dress ``own`` was made, and give another one now.

    ``program`` is the dress as they give it by itself. Two things that no bound can see are proven anew at any rate: a
    way back behind it, and that its program has waited for the spindle at every passage. A block that was changed by
    hand is told by other means.
    """
    heading, block, lines = own.heading, own.marked, own.lines
    if heading is None or block is None or block.altered:
        return
    backs = [one for one in blocks(lines, ("RETURN",)) if one.number == block.number]
    for back in backs:
        between = range(block.last + 1, back.first)
        if put_in := [at for at in between if lines[at - 1].strip()]:
            said = (
                f"this stands between dress {block.number} and its way back, where splice writes nothing; take it out."
            )
            yield Finding("altered", put_in[0], "error", "changed", said)
            return
    now, was = program.heading.origin, heading.origin
    changed = [] if now is None or was is None else now.changed_since(was)
    changed = [what for what in changed if what in ("machine", "recipe")]
    spliced = is_spliced(lines, block)
    waited = spliced and heading.edition.at_speed
    if not changed and not waited and not (spliced and backs):
        return
    if spliced:
        found = against_recipe(own, options)
        if not changed:
            yield from (one for one in found if one.certainty == "changed" or (waited and one.severity == "error"))
            return
        if not errors_in(found):
            return
    elif _body(lines_of(program.text)) == _body(lines):
        return
    what = f"its {listed(changed, 'and')} {'was' if len(changed) == 1 else 'were'} changed since"
    again = "splice it again, and prove it out" if spliced else "generate it again"
    reason = f"dress {block.number} is no longer what its recipe and machine give; {what}: {again}."
    yield Finding("drift", block.first, "error", "changed", reason)


def _body(lines: list[str]) -> list[str]:
    """The lines of the first dress among ``lines``, as its digest counts them."""
    marked = next(blocks(lines))
    return [line.strip() for line in without_origin(lines[marked.first : marked.last - 1])]
