"""A space frame of straight members: shear, joints that give, ground that gives, mechanisms told by name.

Units are N, mm, MPa and radians throughout. ``model`` describes the frame, ``loads`` what acts on it, ``solve`` finds
its movements once for any number of cases, ``results`` reads forces out of them, ``document`` writes and reads all of
it as JSON. The frame knows nothing of stairs.
"""
