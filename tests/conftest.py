"""What all tests share: one way of drawing examples.

No deadline: a machine that is busy with something else is no fault of the code.
"""

from hypothesis import settings

settings.register_profile("dressblock", deadline=None)
settings.load_profile("dressblock")
