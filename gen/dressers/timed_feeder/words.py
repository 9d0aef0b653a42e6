"""The words that a control must have for a timed feeder."""

from __future__ import annotations

from collections.abc import Mapping

from gen.base.errors import DressblockError
from gen.dressers.timed_feeder.keys import TimedFeederKeys


def check_feeder_words(feeder: TimedFeederKeys, codes: Mapping[str, str], dwell: str) -> None:
    """:class:`DressblockError` unless ``codes`` switch the feeder, in one line with the word ``dwell`` if need be."""
    for key, what, word in (
        ("feeder_on", "lets the feeder out", "M71"),
        ("feeder_off", "lets it come back", "M72"),
    ):
        if key not in codes:
            raise DressblockError(
                f'this key is missing; it gives the word that {what}, such as {key} = "{word}".', key=f"codes.{key}"
            )
    taken = [word[0] for word in codes["feeder_on"].split()[1:]]
    if feeder.one_line and dwell in taken:
        raise DressblockError(
            f'"{codes["feeder_on"]}" and the dwell both need the word {dwell}, so that they cannot stand '
            'in one line; use another word, or single_block = "inhibited" if the machine ignores single block between '
            "them.",
            key="codes.feeder_on",
        )
