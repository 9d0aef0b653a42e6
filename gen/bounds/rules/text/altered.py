"""The body of a generated block is what was generated: it still has the digest that its heading states.

Why: What was proven is the text that was generated; a change by hand was never looked at.
Example: The heading states digest 3F0A, and the body has digest 91C2 since its feed was edited.
Helps: Put the change into the recipe and generate again, or have the change looked at.
"""

from gen.bounds.kit import ANY, Fault, Found, Marks, bound


@bound("altered", scope="program", always=True, intents=ANY)
def check(marks: Marks) -> Found:
    for seal in marks.seals:
        if seal.altered:
            yield Fault(
                seal.first,
                f"block {seal.number} was changed since it was generated (digest {seal.computed}, stated "
                f"{seal.stated}); generate it again, or have the change looked at.",
                certainty="changed",
            )
