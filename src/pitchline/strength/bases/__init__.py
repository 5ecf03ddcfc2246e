"""How posts stand: the stiffness of a base about two axes, low, mean and high, with what was assumed; its strength.

``springs`` has the stiffness of single fixings and of contact, ``joints`` the kinds of base, ``supports`` what they
stand on, ``pull`` the test on site that takes the place of an estimate. No published rotational stiffness of newel
bases was found: every figure here is an estimate from clauses of EN 1995-1-1 and from contact, and says so.

*Across* is the push that moves the head square to the balustrade, *along* the one that moves it up or down the
stair. Stiffness in Nmm/rad.
"""
