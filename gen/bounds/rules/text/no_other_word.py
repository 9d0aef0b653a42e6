"""A dress switches nothing but what it needs.

Why: A clamp, a door or a probe that is switched in the middle of a dress is no part of what was proven.
Example: M64 P3 stands in the block.
Helps: Take the word out of the block; switch it before or after the dress.
"""

from gen.bounds.kit import ANY, Abilities, DressBlock, Fault, Found, bound
from gen.plan.step import Aux


@bound("nothing-else", always=True, intents=ANY, needs="recipe")
def check(block: DressBlock, words: Abilities) -> Found:
    for _, word in block.steps(Aux):
        if not word.function and word.code != words.mist:
            yield Fault(word.line, f"{word.code} has no place in a dress; take it out of the block.")
