"""The registers that a program reads: what each holds, what is accepted, and who enters it."""

from __future__ import annotations

from types import SimpleNamespace

from gen.control.draft import Program
from gen.paper.shown import Shown, span
from gen.plan.node import Store, walk


def register_rows(program: Program, language: str) -> list[SimpleNamespace]:
    """The registers that ``program`` reads, in the order of its machine file.

    Of each its ``number``, what it holds (``name``), the values that are ``accepted`` (empty: any), and ``by`` whom it
    is entered: a person measures it (``measured``), and the program lowers it after each plunge (``kept``); the program
    counts parts (``counted``) or sets it to 0 after a dress (``zeroed``); a person enters 1 with a new stick, and the
    program counts lanes (``lane``); the program sets it during a dress (``guard``). ``of_wheel``: it holds a wheel's
    size.
    """
    dress = program.dress
    table = dress.machine.registers
    held = Shown("mm" if table is None else table.units, language)
    measured = dict(dress.sizes)
    if dress.dresser.needs_length:
        measured["stick_length"] = dress.length_range
    written = {node.register for node in walk(program.plan.nodes) if isinstance(node, Store)}
    told = {
        "in_progress": ("0", "guard"),
        "next_lane": (span("1", str(len(dress.turns))), "lane"),
        "parts_since_dress": ("", "counted" if program.edition.counts else "zeroed"),
    }
    for name, (low, high) in measured.items():
        told[name] = span(held.length(low), held.length(high)), "kept" if name in written else "measured"
    return [
        SimpleNamespace(
            number=str(number), name=name, accepted=told[name][0], by=told[name][1], of_wheel=name in dress.sizes
        )
        for name, number in program.plan.registers.items()
        if name in told
    ]
