"""What splicing asks of a grinding program, rule by rule, and how a finding of each is made."""

from __future__ import annotations

from typing import Literal, NamedTuple, TypeAlias

from gen.base.finding import Certainty, Finding, Severity
from gen.bounds.registry import Need, Scope

_Rule: TypeAlias = Literal[
    "host-place", "host-state", "host-safe", "host-clash", "host-unchanged", "host-path", "host-once"
]


class HostRule(NamedTuple):
    """What splicing holds a grinding program to, why, an example of what breaks it, and what helps."""

    id: _Rule
    holds: str
    why: str
    example: str
    helps: str
    scope: Scope = "program"
    needs: frozenset[Need] = frozenset({"machine", "recipe", "states"})

    @property
    def checks(self) -> tuple[HostRule]:
        return (self,)


HOST_RULES = (
    HostRule(
        "host-place",
        "The place of a dress is reached, and the program that leads to it is understood.",
        "What a program does before a dress decides what is in force there, and that has to be put back.",
        "A jump that depends on a word of the machine's builder leads past the comment DRESS HERE.",
        "Name harmless words under [host] known, give programs that are called with --with, or choose another place.",
    ),
    HostRule(
        "host-state",
        "What is in force where a dress is put is the same at every passage, and can be put back exactly.",
        "The dress ends with words that put back one state; at another passage they would be wrong.",
        "The spindle runs at 4200 the first time the program comes to the place, and stands the second time.",
        "State mode, feed, spindle and coolant once more in front of the place.",
    ),
    HostRule(
        "host-safe",
        "The grinding program stands at a safe position where a dress is put.",
        "Axes go to the dresser from wherever they are, and a tool in the work or under compensation breaks.",
        "DRESS HERE stands behind a feed move that ends in the workpiece.",
        "Go to a safe position in machine coordinates, by a rapid, in front of the place.",
    ),
    HostRule(
        "host-clash",
        "A dress uses no variable of the grinding program, and two dresses in it mean the same by a register.",
        "One would overwrite the other, or take its count of parts for the length of a stick.",
        "The program counts its passes in #590, and the dress works with #590 to #599.",
        "Renumber the program's own, or give the machine file another range of registers.scratch, or another register.",
    ),
    HostRule(
        "host-unchanged",
        "What the grinding program does after a dress is what it did without it.",
        "A program that goes on otherwise grinds another part than it did before.",
        "The dress ends in another work offset than the one that was in force.",
        "Splice the dress again, and state what differs behind the place.",
    ),
    HostRule(
        "host-path",
        "The first move after a dress, which comes from where the dress left the axes, can touch nothing.",
        "The program expects the axes where they stood before the dress.",
        "The first move behind the dress is a feed move of one axis, with another one still at the dresser.",
        "Use --return, or begin behind the place with rapids of every axis that the dress moves.",
    ),
    HostRule(
        "host-once",
        "A dress in a grinding program is right every time the program runs.",
        "A dress in numbers is right for one length of the stick, and dresses at every pass.",
        "Every run passes the place, and the recipe asks for a dress every 6 parts.",
        "Use registers, let the program count the parts, or splice with --as call.",
    ),
)
"""The rules beside the bounds."""


def broken(rule: _Rule, line: int | None, message: str) -> Finding:
    """``message`` as what does not hold: nothing is written."""
    return Finding(rule, line, "error", "broken", message)


def unproven(rule: _Rule, line: int | None, message: str, severity: Severity = "error") -> Finding:
    """``message`` as what could not be shown; a warning does not keep the dress out."""
    certainty: Certainty = "unproven"
    return Finding(rule, line, severity, certainty, message)
