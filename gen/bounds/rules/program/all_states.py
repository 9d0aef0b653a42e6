"""At every wheel and stick that it is right for, the block does what the recipe wants, or refuses as it does.

Why: A few states that are tried tell nothing of a term, a guard or a branch that acts between them.
Example: #594 = [FIX[[260-[#591+[#590/2]]-[[#502 GT 140.5] AND [#502 LT 149.95]]*20]*1000]/1000]
Helps: Generate the program again. It is told where no other rule has found an error, as those say it plainer.

The block is read once with its registers as unknowns. Every value is then a
formula, every guard a condition, and both must be the recipe's own. A block in
numbers must do what the recipe gives for its one wheel and stick.
"""

from gen.bounds.kit import ANY, Fault, Found, bound
from gen.reader.all_states.agree import Difference


@bound("all-states", always=True, last=True, intents=ANY)
def check(parted: tuple[Difference, ...]) -> Found:
    for one in parted:
        yield Fault(one.line, one.message, certainty=one.certainty)
