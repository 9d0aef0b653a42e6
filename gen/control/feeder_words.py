"""The words that a control must have for a timed feeder."""

from __future__ import annotations

from gen.base.errors import DressblockError
from gen.control.model import Control
from gen.shop.machine import Machine


def check_words(machine: Machine, control: Control) -> None:
    """:class:`DressblockError` unless ``control`` has the words for a timed feeder, where ``machine`` has one."""
    dresser, codes = machine.dresser, control.codes
    if dresser.kind != "timed":
        return
    for key, what, word in (
        ("feeder_on", "lets the feeder out", "M71"),
        ("feeder_off", "lets it come back", "M72"),
    ):
        if key not in codes:
            raise DressblockError(
                f'this key is missing; it gives the word that {what}, such as {key} = "{word}".', key=f"codes.{key}"
            )
    taken = [word[0] for word in codes["feeder_on"].split()[1:]]
    if dresser.single_block == "one-line" and control.dwell.word in taken:
        raise DressblockError(
            f'"{codes["feeder_on"]}" and the dwell both need the word {control.dwell.word}, so that they cannot stand '
            'in one line; use another word, or single_block = "inhibited" if the machine ignores single block between '
            "them.",
            key="codes.feeder_on",
        )
