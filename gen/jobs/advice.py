"""What would help: the changes that bounds propose, kept only if the recipe is then accepted."""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any

from gen.base.finding import Change, Finding, errors_in

Tables = dict[str, Any]
Judge = Callable[[Tables, Tables], tuple[Finding, ...] | None]
"""Judges the tables of recipe and machine again; None where they can no longer be used at all."""

MAX_ROUNDS = 4
MAX_TRIALS = 24


def advised(findings: tuple[Finding, ...], recipe: Tables, machine: Tables, judge: Judge) -> tuple[Finding, ...]:
    """``findings``, each with the one change that helps, and its text in the message; others lose their changes.

    Where one change is not enough, changes are combined as long as each of them
    takes a broken rule away. What is proposed has been tried: with all of it
    applied, nothing is broken.
    """
    chosen = _search(findings, recipe, machine, judge)
    return tuple(_said(finding, chosen.get(finding.rule)) for finding in findings)


def revised(tables: Tables, change: Change) -> Tables:
    """A copy of ``tables`` with ``change`` made."""
    changed = copy.deepcopy(tables)
    *path, key = change.key.split(".")
    place = changed
    for part in path:
        name, _, number = part.rstrip("]").partition("[")
        place = place.setdefault(name, {})
        if isinstance(place, list):
            place = place[int(number or 0)]
    if change.value is None:
        place.pop(key, None)
    else:
        place[key] = change.value
    return changed


def applied(change: Change, recipe: Tables, machine: Tables) -> tuple[Tables, Tables]:
    """The tables of recipe and machine with ``change`` made in those that it is about."""
    if change.file == "recipe":
        return revised(recipe, change), machine
    return recipe, revised(machine, change)


def _said(finding: Finding, change: Change | None) -> Finding:
    if finding.severity != "error" or change is None:
        return replace(finding, changes=())
    return replace(finding, changes=(change,), message=f"{finding.message} {change.text}".strip())


def _search(findings: Iterable[Finding], recipe: Tables, machine: Tables, judge: Judge) -> dict[str, Change]:
    """The changes found, by the rules each of them satisfies; empty if no set of them leads to acceptance."""
    chosen: dict[str, Change] = {}
    broken = errors_in(findings)
    trials = 0
    for _ in range(MAX_ROUNDS):
        best: tuple[int, Change, tuple[Finding, ...]] | None = None
        rules = {one.rule for one in broken}
        for change in (change for finding in broken for change in finding.changes):
            trials += 1
            if trials > MAX_TRIALS:
                return {}
            outcome = judge(*applied(change, recipe, machine))
            remaining = rules if outcome is None else {one.rule for one in errors_in(outcome)}
            # a change that breaks another rule would need one that no finding here could name
            if outcome is not None and remaining < rules and (best is None or len(remaining) < best[0]):
                best = len(remaining), change, outcome
            if not remaining:
                break
        if best is None:
            return {}
        left, change, outcome = best
        # a key that is changed once more has its last value, also for what its first one mended
        chosen = {
            one: change if (change.file, change.key) == (earlier.file, earlier.key) else earlier
            for one, earlier in chosen.items()
        }
        chosen |= dict.fromkeys(rules - {one.rule for one in errors_in(outcome)}, change)
        if left == 0:
            return chosen
        recipe, machine = applied(change, recipe, machine)
        broken = errors_in(outcome)
    return {}
