"""The programs one recipe gives: the dress, the first opening after truing, the prove-out of each, and the gap check.

Each has a name, a number and a heading of its own, so that none is taken for
another.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, get_args

from gen.shop.edition import Edition, Purpose

if TYPE_CHECKING:
    from gen.base.finding import Change
    from gen.shop.recipe import Recipe

AFTER_TRUING_STEP = 100
PURPOSE_STEPS: dict[Purpose, int] = {"dress": 0, "prove-out": 500, "gap-check": 300}
"""How far the number of an edition lies from the recipe's, unless the recipe says."""

HIGHEST = 99_999
_OVERRIDDEN = ("plunge", "plunges", "aggressiveness", "band")


def editions(recipe: Recipe) -> Iterator[Edition]:
    """The programs that ``recipe`` gives, in its own form."""
    for after_truing in (False, True) if recipe.dress.after_truing is not None else (False,):
        for purpose in get_args(Purpose):
            # the datum is the same after truing
            if not (after_truing and purpose == "gap-check"):
                yield Edition(recipe.form, after_truing, purpose)


def recipe_for(edition: Edition, recipe: Recipe) -> Recipe:
    """The recipe of ``edition``: what is overridden in place, with a number of its own."""
    opening = recipe.dress.after_truing
    if not edition.after_truing or opening is None:
        return recipe
    changed = {key: value for key in _OVERRIDDEN if (value := getattr(opening, key)) is not None}
    dress = recipe.dress.model_copy(update={**changed, "after_truing": None, "every_parts": None})
    number = opening.program or _near(recipe.program, AFTER_TRUING_STEP)
    prove_out = _near(recipe.prove_out_program, AFTER_TRUING_STEP) if recipe.prove_out_program else None
    gap_check = number_of(Edition(purpose="gap-check"), recipe)
    own = {"program": number, "prove_out_program": prove_out, "gap_check_program": gap_check}
    return recipe.model_copy(update={"dress": dress, **own})


def number_of(edition: Edition, recipe: Recipe) -> int:
    """The program number of ``edition``; ``recipe`` may be the edition's own already."""
    own = recipe_for(edition, recipe)
    stated = {"dress": own.program, "prove-out": own.prove_out_program, "gap-check": own.gap_check_program}
    return stated[edition.purpose] or _near(own.program, PURPOSE_STEPS[edition.purpose])


def _near(number: int, step: int) -> int:
    """``number`` and ``step``, or less where that leaves the count of digits or the numbers there are."""
    up = number + step
    return up if (up <= HIGHEST and len(str(up)) == len(str(number))) or number <= step else number - step


def in_edition(change: Change, edition: Edition) -> Change:
    """``change``, made where ``edition`` has its own value."""
    table, _, key = change.key.partition(".")
    if not edition.after_truing or change.file != "recipe" or table != "dress" or key not in _OVERRIDDEN:
        return change
    return replace(change, key=f"dress.after_truing.{key}")
