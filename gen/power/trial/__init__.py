"""A trial of targets on the shop's own wheel: planned, read, and made into a choice.

``schedule`` orders the runs of a block, ``log`` reads what was written down,
``drops`` turns runs into what each dress took away, ``shares`` fits the clean
power and the cleared share of every rung, ``wear`` what the dresses cost the
wheel, ``economy`` what that costs a part, and ``choice`` concludes; ``answer``
does all of it.
"""
