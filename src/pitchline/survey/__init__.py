"""What was read at the stair, adjusted by least squares into points that carry their uncertainty.

Read in this order: ``readings`` (what a tape can say), ``instruments`` (how well), ``equations`` and ``start``
(what the readings mean, and a first guess), ``determined`` (are there enough), ``adjust``, then ``blunders``,
``next_reading`` and ``review`` (what to read again, and what next).
"""
