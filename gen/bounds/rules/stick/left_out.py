"""A dress is left out where the stick is too short for it and the recipe says to go on, and nowhere else.

Why: A short stick that is plunged comes out of its clamp, a cell that stops all night grinds nothing, and a dress that
is left out unseen leaves a loaded wheel.
Example: The stick is used up, and yet the block goes on to dress.
Helps: Keep the branch for a stick that is used up as generated.
"""

from gen.bounds.kit import ANY, Abilities, Dress, DressBlock, Expected, Fault, Found, Wear, bound
from gen.bounds.rules.registers.outside import acts
from gen.plan.step import Aux, Move, Refuse, Write


@bound("stick-length", always=True, intents=ANY)
def check(block: DressBlock, dress: Dress, wear: Wear, expected: Expected, words: Abilities) -> Found:
    told = [step for _, step in block.steps(Aux) if step.function == "dress-left-out"]
    if expected.intent != "left-out":
        for one in told[:1]:
            yield Fault(one.line, f"the dress is told to be left out, and the stick is not used up ({wear.here}).")
        return
    for _, refusal in block.steps(Refuse):
        yield Fault(refusal.line, f"the stick is used up, and the block stops instead of going on ({wear.here}).")
        return
    for index in block.run:
        step = block.reading.steps[index]
        if isinstance(step, Move | Write) and acts(dress, step):
            yield Fault(step.line, f"the stick is used up, and yet the block goes on to dress ({wear.here}).")
            break
    if not told and "dress-left-out" in words.tells:
        yield Fault(block.last_line, f"the dress is left out, and no word tells it ({wear.here}).")
