"""Every tolerance of the program, named once, with its reason. Lengths in mm unless a name says otherwise."""

COVERAGE_FACTOR = 2.0
"""Expanded uncertainty = this times the standard uncertainty (about 95 %; JCGM 100)."""

SAME_POINT = 1e-7
"""Points closer than this are one: far below anything a maker can see, far above rounding in doubles."""

SAME_PART = 0.05
"""Parts that differ by less than this in every size are cut at one setting: a tenth of a pencil line."""

SAME_PART_DEG = 0.02
"""And by less than this in every angle: 0.02 degrees opens 0.03 mm across a 90 mm section."""

TOUCH_OVERLAP_VOLUME = 1.0
"""Touching solids may overlap by this many mm3 through facetted circles and rounding, no more."""

BALL = 0.005
"""The largest ball through an opening is found to within this."""

TILING = 1e-6
"""Members and gaps must add up to their bay within this."""
