"""A dress put into a grinding program, as a block or as a call, and proven to leave the program as it was.

The program is read up to the place (``point``), and every way through it is
known (``routes``), with what may be in force at the place by each (``statements``).
What stands against a dress there is said (``refusals``, ``clashes``); the block
ends with what was in force (``restore``) and goes back to where the program
stood if asked (``way_back``). Two readings show that it leaves all else as it
was (``proof``), and each way behind the place that nothing depends on the rest
(``onward``): so it holds at every passage.
"""
