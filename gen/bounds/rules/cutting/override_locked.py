"""Feed and speed overrides are locked during the dress where the control can, and freed afterwards."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.block import DressBlock
from gen.bounds.case import ControlWords, Expected
from gen.bounds.contacts import Contacts
from gen.bounds.registry import bound
from gen.plan.step import Aux
from gen.shop.dress import Dress


@bound(
    "override",
    why="A knob left at 150 % from the prove-out of another job would take the dress out of its band.",
    example="M49 is missing before the plunge.",
    helps="Lock the overrides before the first plunge, and free them at the end of the block.",
)
def check(
    block: DressBlock, dress: Dress, contacts: Contacts, words: ControlWords, expected: Expected
) -> Iterator[Fault]:
    if not words.override_lock:
        return
    plunges = contacts.plunges
    names = ("override-lock", "override-free")
    switched = [(index, step) for index, step in block.steps(Aux) if step.function in names]
    for plunge in plunges:
        before = [step for index, step in switched if index < plunge.enters]
        if not before or before[-1].function != "override-lock":
            yield Fault(plunge.line, "the overrides are not locked when the stick meets the wheel.")
    kept = (expected.leaves or {}).get("override") == "lock"
    if plunges and switched and switched[-1][1].function == "override-lock" and not kept:
        yield Fault(switched[-1][1].line, "the overrides are locked here and never freed again.")
