"""Whether two dresses of one grinding program can share their registers, their stick and their dresser."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain

from gen.base.finding import Finding
from gen.control.draft import Program
from gen.host.said import broken, unproven
from gen.physics.end_face import SLIVER
from gen.shop.dress import Dress
from gen.shop.family import number_of

_OF_THE_STICK = ("in_progress", "next_lane")
"""What belongs to a stick as its length does."""

_ANOTHER = "give one of the two machine files another"


def against_each_other(mine: Program, theirs: Program, line: int) -> Iterator[Finding]:
    """What keeps ``mine`` out of a program in which ``theirs`` stands at ``line``."""
    number = number_of(theirs.edition, theirs.dress.recipe)
    if mine.dialect.digits != theirs.dialect.digits:
        said = f"dress {number} is written for another control, {theirs.dress.machine.control}; take it out."
        yield broken("host-clash", line, said)
        return
    for said in (*_registers(mine, theirs, f"dress {number}"), *_stand_off(mine, theirs, f"dress {number}")):
        yield broken("host-clash", line, f"{said}.")
    if mine.by_registers != theirs.by_registers and _same_stick(mine, theirs):
        said = f"dress {number} and this one shorten one stick, and only one of them reads its length from a register"
        yield unproven("host-clash", line, f"{said}; splice both by registers.")
    for said in _end_face(mine, theirs, f"dress {number}"):
        yield broken("host-clash", line, f"{said}.")
    for said in _in_between(mine, theirs, f"dress {number}"):
        yield unproven("host-clash", line, f"{said}.", "warning")


def _registers(mine: Program, theirs: Program, other: str) -> Iterator[str]:
    """What is wrong with the registers of two dresses; empty if each has one meaning."""
    ours, its = mine.dress.machine.registers, theirs.dress.machine.registers
    if ours is None or its is None or not (mine.by_registers and theirs.by_registers):
        return
    names = {number: name for name, number in mine.dress.register_numbers.items()}
    for name, number in theirs.dress.register_numbers.items():
        if number in names and _kind(names[number]) != _kind(name):
            yield f"register {number} is the {_kind(name)} of {other} and the {_kind(names[number])} here; {_ANOTHER}"
    for table, keeps, who, whose in ((its, mine, other, "this one"), (ours, theirs, "this one", other)):
        first, last = table.scratch
        for number in keeps.dress.register_numbers.values():
            if first <= number <= last:
                yield f"{who} works with registers {first} to {last}, and {whose} keeps {number}; {_ANOTHER}"
    same = ours.stick_length == its.stick_length
    for name in _OF_THE_STICK:
        flags = [dress.register_numbers.get(name) for dress in (mine.dress, theirs.dress)]
        if None not in flags and (flags[0] == flags[1]) != same:
            how = ("one register", "two") if same else ("two registers", "one")
            yield (
                f"{other} and this one have the stick length in {how[0]} and {_kind(name)} in {how[1]}; dresses share "
                "all registers of a stick, or none"
            )
    if ours.units != its.units and not names.keys().isdisjoint(theirs.dress.register_numbers.values()):
        yield f"{other} reads lengths in {its.units} from its registers and this one in {ours.units}; choose one"
    counter = ours.parts_since_dress
    if counter is not None and counter == its.parts_since_dress and (mine.edition.counts or theirs.edition.counts):
        if mine.edition.counts and theirs.edition.counts:
            yield f"{other} counts each part in register {counter} too; {_ANOTHER}, or splice one as a block"
        elif mine.dress.recipe.wheels != theirs.dress.recipe.wheels:
            said = f"register {counter} counts the parts of one wheel, and {other} and this one dress two"
            yield f"{said}, so that each would begin the other's count anew; {_ANOTHER}"


def _stand_off(mine: Program, theirs: Program, other: str) -> Iterator[str]:
    dressers = [one.dress.machine.dresser for one in (mine, theirs)]
    apart = mine.heading.machine != theirs.heading.machine
    if apart and dressers[0].axis == dressers[1].axis and any(one.per_set_up is not None for one in dressers):
        yield f"{other} moves {dressers[0].axis} as another machine file wants it, and one of them needs its stand-off"


def _end_face(mine: Program, theirs: Program, other: str) -> Iterator[str]:
    """What keeps one stick's end from being as both dresses count on: level wherever either of them meets it."""
    if not _same_stick(mine, theirs):
        return
    helps = "keep a stick, with registers of its own, to each"
    if mine.dress.turns or theirs.dress.turns:
        yield f"{other} and this one share a stick whose end is not level between dresses of one lane each; {helps}"
    elif not _alike(_cut(mine.dress), _cut(theirs.dress)):
        yield f"{other} and this one share a stick and cut other parts of its end, so that it is not level; {helps}"


def _alike(ours: list[tuple[float, float]], its: list[tuple[float, float]]) -> bool:
    ends = zip(chain.from_iterable(ours), chain.from_iterable(its), strict=True) if len(ours) == len(its) else ()
    return len(ours) == len(its) and all(abs(one - other) <= SLIVER for one, other in ends)


def _cut(dress: Dress) -> list[tuple[float, float]]:
    """The parts of the stick's end that ``dress`` cuts, mm from its middle, in order."""
    half, parts = dress.footprint / 2, list[tuple[float, float]]()
    for low, high in sorted((max(one.low, -half), min(one.high, half)) for one in dress.bites()):
        if parts and low <= parts[-1][1] + SLIVER:
            parts[-1] = parts[-1][0], max(high, parts[-1][1])
        else:
            parts.append((low, high))
    return parts


def _in_between(mine: Program, theirs: Program, other: str) -> Iterator[str]:
    """What somebody has to do between the two, if the program does not."""
    sticks = [one.dress.recipe.stick for one in (mine, theirs)]
    if _same_stick(mine, theirs) and sticks[0] != sticks[1]:
        yield f"{other} is for another stick than this one; the program must stop between them, so that it is changed"
    for name, (low, high) in mine.dress.sizes.items():
        for its, (least, most) in theirs.dress.sizes.items():
            registers = mine.dress.register_numbers.get(name), theirs.dress.register_numbers.get(its)
            if mine.by_registers and registers[0] == registers[1] and (most < low or high < least):
                said = f"{other} and this one read their wheels from register {registers[0]}, and no size fits both"
                yield f"{said}; the program must stop between them, so that it is entered anew"


def _same_stick(mine: Program, theirs: Program) -> bool:
    """Whether both wear one stick."""
    needed = all(one.dress.dresser.needs_length and one.edition.dresses for one in (mine, theirs))
    ours, its = mine.dress.machine.registers, theirs.dress.machine.registers
    shared = ours is not None and its is not None and ours.stick_length == its.stick_length
    return needed and (shared or mine.heading.machine == theirs.heading.machine)


def _kind(name: str) -> str:
    return name.rstrip("_0123456789").replace("_", " ")
