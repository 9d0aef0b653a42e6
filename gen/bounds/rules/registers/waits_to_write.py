"""Where the control has no word that waits for motion, no register is written.

Why: A length written ahead of the plunge is wrong if the plunge never comes.
Example: The stick's length is written on a control without such a word.
Helps: Enter the length by hand after each dress, or name the word in the control's folder.
"""

from gen.bounds.kit import Abilities, Dress, DressBlock, Fault, Found, bound
from gen.bounds.rules.registers.writes import named, writes_of


@bound("register-order", needs="states")
def check(block: DressBlock, dress: Dress, words: Abilities) -> Found:
    if not words.synchronise:
        for _, step, _name in writes_of(block, dress):
            yield Fault(step.line, f"{named(step, dress)} is written, and this control has no word that waits.")
