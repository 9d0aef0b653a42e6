"""The programs one recipe gives: the dress, the first opening after truing, and the prove-out of each.

Each has a name, a number and a heading of its own, so that none is taken for
another.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from gen.base.finding import Change
    from gen.shop.recipe import Recipe

Variant = Literal["dress", "after-truing"]

AFTER_TRUING_STEP, PROVE_OUT_STEP = 100, 500
"""How far the number of a variant lies from the recipe's, unless the recipe says."""

HIGHEST = 99_999
_OVERRIDDEN = ("plunge", "plunges", "aggressiveness", "band")


def variants(recipe: Recipe) -> Iterator[Variant]:
    """The variants that ``recipe`` asks for."""
    yield "dress"
    if recipe.dress.after_truing is not None:
        yield "after-truing"


def variant_of(recipe: Recipe, variant: Variant) -> Recipe:
    """The recipe of ``variant``: what is overridden in place, with a number of its own."""
    opening = recipe.dress.after_truing
    if variant == "dress" or opening is None:
        return recipe
    changed = {key: value for key in _OVERRIDDEN if (value := getattr(opening, key)) is not None}
    dress = recipe.dress.model_copy(update={**changed, "after_truing": None, "every_parts": None})
    number = opening.program or _near(recipe.program, AFTER_TRUING_STEP)
    prove_out = _near(recipe.prove_out_program, AFTER_TRUING_STEP) if recipe.prove_out_program else None
    return recipe.model_copy(update={"dress": dress, "program": number, "prove_out_program": prove_out})


def prove_out_number(recipe: Recipe) -> int:
    """The number of the prove-out of ``recipe``."""
    return recipe.prove_out_program or _near(recipe.program, PROVE_OUT_STEP)


def number_of(recipe: Recipe, *, prove_out: bool) -> int:
    """The number of the program of ``recipe``, or of its prove-out."""
    return prove_out_number(recipe) if prove_out else recipe.program


def _near(number: int, step: int) -> int:
    """``number`` and ``step``, or less where that leaves the count of digits or the numbers there are."""
    up = number + step
    return up if (up <= HIGHEST and len(str(up)) == len(str(number))) or number <= step else number - step


def suffix(variant: Variant, *, prove_out: bool) -> str:
    """What a file's name has behind the recipe's."""
    return ("-after-truing" if variant == "after-truing" else "") + ("-prove-out" if prove_out else "")


def in_variant(change: Change, variant: Variant) -> Change:
    """``change``, made where ``variant`` has its own value."""
    table, _, key = change.key.partition(".")
    if variant == "dress" or change.file != "recipe" or table != "dress" or key not in _OVERRIDDEN:
        return change
    return replace(change, key=f"dress.after_truing.{key}")
