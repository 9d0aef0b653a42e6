"""What splicing asks of a grinding program, rule by rule, and how a finding of each is made."""

from __future__ import annotations

from typing import Literal, TypeAlias

from gen.base.finding import Certainty, Finding, Severity

_Rule: TypeAlias = Literal[
    "host-place", "host-state", "host-safe", "host-clash", "host-unchanged", "host-path", "host-once"
]

SENTENCES: dict[_Rule, str] = {
    "host-place": "The place of a dress is reached, and the program that leads to it is understood.",
    "host-state": "What is in force where a dress is put is the same at every passage, and can be put back exactly.",
    "host-safe": "The grinding program stands at a safe position where a dress is put.",
    "host-clash": "A dress uses no variable, label or line number that the grinding program uses.",
    "host-unchanged": "What the grinding program does after a dress is what it did without it.",
    "host-path": "The first move after a dress, which comes from where the dress left the axes, can touch nothing.",
    "host-once": "A dress in a grinding program is right every time the program runs.",
}
"""The rules beside the bounds."""


def broken(rule: _Rule, line: int | None, message: str) -> Finding:
    """``message`` as what does not hold: nothing is written."""
    return Finding(rule, line, "error", "broken", message)


def unproven(rule: _Rule, line: int | None, message: str, severity: Severity = "error") -> Finding:
    """``message`` as what could not be shown; a warning does not keep the dress out."""
    certainty: Certainty = "unproven"
    return Finding(rule, line, severity, certainty, message)
