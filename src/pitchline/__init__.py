"""pitchline: from the tape readings of an existing stair to the balustrade that fits it.

One job file goes in; everything else is derived in one direction, by pure functions between frozen values:

    readings -> stair -> design -> parts -> checks -> sheets

Inside the program lengths are millimetres, forces newtons, stresses megapascals; angles are radians in
mathematics and degrees in names that end in ``_deg``. Heights are plumb, from the nosings and the finished
surfaces to the TOP of a rail. :mod:`pitchline.story` reads as the table of contents of the job.
"""

__version__ = "0.1.0"
