"""The power log of a grinding spindle: read, fitted, and made into an answer.

``log`` reads it, ``runs`` cuts it at the dresses, ``fit`` draws the lines,
``baseline`` and ``recovery`` look at them, ``limit`` and ``verdict`` conclude;
``answer`` does all of it.
"""
