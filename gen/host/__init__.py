"""A dress put into a grinding program, as a block or as a call, and proven to leave the program as it was.

The program is read up to the place (``point``); what stands against a dress
there is said (``refusals``, ``clashes``); the block ends with what was in force
(``restore``), goes back to where the program stood if asked (``way_back``), and
two readings show that the program goes on as it did (``proof``).
"""
