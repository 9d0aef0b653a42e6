"""The other dresses of ours that stand in a grinding program, each as its recipe gives it now."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import chain, islice, product
from pathlib import Path, PurePath

from gen.base.dataclass import dataclass
from gen.base.finding import Finding
from gen.bounds.readback import read_state
from gen.bounds.states import idle_states, left_out_states, when_due
from gen.control.draft import Program
from gen.control.model import Control
from gen.control.options import Options
from gen.control.seal import SPLICED, MarkedBlock, blocks
from gen.host.elsewhere import Joined, joined
from gen.host.said import unproven
from gen.jobs.pair import pair_at
from gen.jobs.provenance import Named, Provenance, options_as_made, provenance
from gen.plan.step import Register
from gen.reader import lower

Finds = Mapping[int, Mapping[Register, float]]
"""The registers that each of the other dresses finds set, by its number."""


@dataclass(frozen=True)
class OtherDress:
    """A dress, or the call of one, with the recipe that it is from and the ``options`` with which it was made."""

    block: MarkedBlock
    recipe: Path
    options: Options
    program: Program

    def finds(self) -> Iterator[Mapping[Register, float]]:
        """What its registers may hold: as it dresses, as it only counts the part, as its stick is used up."""
        program = self.program
        due = when_due(program, [program.state])
        without = (islice(idle_states(program), 1), islice(when_due(program, left_out_states(program)), 1))
        for state in chain(due, *without) if program.by_registers else ():
            held = read_state(program, state).registers
            known = ((number, held.get(number)) for number in program.plan.registers.values())
            yield {number: value for number, value in known if value is not None}


def other_dresses(
    path: Path,
    lines: list[str],
    number: int,
    machine: Path,
    control_folders: tuple[Path, ...],
    root: Path | None = None,
) -> Iterator[OtherDress | Finding]:
    """Those among ``lines`` of the program at ``path``, beside dress ``number`` of the machine file ``machine``.

    A finding in place of one that was changed by hand, or whose recipe is not there.
    """
    seen, beside = {number}, Provenance(path, lines, None, None, machine, None)
    for block in blocks(lines, SPLICED):
        if block.number == number:
            continue
        if block.altered:
            said = f"dress {block.number} in this program was changed by hand; splice it again first, or take it out."
            yield unproven("host-clash", block.first, said)
        if block.number in seen or block.kind == "RETURN":
            continue
        seen.add(block.number)
        own = provenance(path, lines, block, Named(root=root), beside)
        if own.heading is None or own.recipe is None or own.otherwise:
            said = f"the recipe of dress {block.number} is not there, so that nobody knows which registers that reads"
            yield unproven("host-clash", block.first, f"{said}; bring it back, or take that dress out.")
            continue
        chosen = options_as_made(own.heading, control_folders)
        yield OtherDress(block, own.recipe, chosen, pair_at(own.recipe, own.machine).draft(chosen))


def with_called(
    text: str, files: Sequence[tuple[PurePath, str]], others: Sequence[OtherDress], control: Control
) -> Joined:
    """``text`` with the programs in ``files``, and the subprograms of those of the ``others`` that are called there."""
    whole = joined(text, files, control)
    called = {str(one.block.number): one.program.text for one in others if one.block.kind == "CALL"}
    missing = called.keys() - lower(whole.text, control).programs.keys() if called else ()
    return joined(text, [*files, *((PurePath(one), called[one]) for one in sorted(missing))], control)


def found_by(others: Sequence[OtherDress]) -> list[Finds]:
    """What the ``others`` may find together, all of them dressing first."""
    each = [[(one.block.number, held) for held in one.finds()] or [(one.block.number, {})] for one in others]
    return [dict(together) for together in product(*each)]
