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

SQUARE_AXES = 1e-9
"""Unit vectors and right angles in a placement hold to this: a hundred thousandth of a hair over 10 m."""

SLIVER = 0.01
"""A piece of an outline into which no strip this wide fits is rounding, not wood and not an opening."""

SAME_DIRECTION = 1e-9
"""Directions whose cross product is below this are parallel: 0.00001 mm over a 10 m rail."""

ENDS_ALIKE_DEG = 0.05
"""Two end cuts are called parallel, mirrored or square within this: half a division of a good saw scale."""

LEAST_PIECE = 15.0
"""A strip of infill seen for less than this between rails and newel is left out: too short to make or to fix."""

HOLD_LENGTH = 150.0
"""Shorter pieces are not to be held by hand at a saw (common practice, no source: 150-200 mm)."""

LEAST_CHEEK = 5.0
"""Wood left beside or behind a housing below which it may break out (common practice, no source)."""

ADJUSTMENT_STEP = 1e-8
"""An adjustment has settled when no unknown moves by more than this part of its own standard uncertainty."""

BLUNDER_NOTICED = 4.13
"""A slip of this many standard deviations is noticed with 80 % power when one good reading in 1000 may be
accused: 3.29 + 0.84, normal quantiles (Baarda 1968)."""

BLUNDER_SUSPECTED = 3.29
"""A standardised residual above this puts a reading under suspicion: one good reading in 1000 exceeds it."""

GLOBAL_TEST = 0.05
"""Share of sound surveys that the two-sided chi-square test may turn down."""

NO_CHECK = 1e-6
"""A redundancy number below this is zero: the other readings bear a slip of this one by a millionth."""

WEAK_CHECK = 0.1
"""Below this redundancy number a slip must exceed 13 standard uncertainties to be noticed: hardly a check."""

WEAK_PIVOT = 1e-5
"""Pivots of the normal matrix (unit diagonal) below this mean directions that no reading holds."""

OPEN_DIRECTION = 1e-7
"""Singular values of the scaled derivatives below this are zero: rounding reaches 1e-14, bad shape 1e-3."""

READING_FLOOR = 0.05
"""No reading of a length is trusted beyond this standard uncertainty, whatever is claimed: a knife line."""

RIVALS_ALIKE = 0.9
"""Residuals correlated by at least this move together so closely that either reading may be the slip."""

RIVALS_WITHIN = 1.645
"""Two alike residuals are told apart when they differ by this many standard deviations of their difference
(one-sided 5 %)."""

STACK_FIT = 0.05
"""A rail glued up from layers is as wide as its layers within this: a figure rounded to a tenth, halved."""

HARDLY_FIXED = 100.0
"""A point with a larger standard uncertainty than this has not been measured: half a step either way."""

WISH_MET = 0.5
"""A rail within this of its wished height everywhere is at it: half a division of the tape it is set out with."""

LEAST_PACKER = 0.5
"""Packing thinner than this everywhere is no packer: a shaving, taken up by glue."""

LEAST_CROSSING_DEG = 15.0
"""Uprights that cross the rails at less than this lie along them; no joint between the two can be made."""

SETTING_OUT = 1.0
"""A rail's end is brought to its mark within this, 19 times in 20 (common practice, no source): a pencil line
and the play of a clamp; it is the expanded uncertainty that setting out adds to a height."""

TRIP_STEP = 5.0
"""A rise or going this far from its neighbours' mean trips people: the trade's figure where the rules of a place
give none (second hand; some codes say 3/16 in, 4.8 mm)."""

OUT_OF_LINE = 3.0
"""A nosing this far from the fitted line is called proud or hollow: what a straightedge shows at a glance
(common practice, no source)."""

TREAD_EDGE = 25.0
"""Thickness of a tread's front edge where a nosing overhangs; it is not measured, 22 to 32 mm are usual."""

CUT_ROUNDING = 0.4
"""What a remedy keeps in hand so that it still suffices when shown to the nearest 1/32 in (0.8 mm / 2)."""

SEAM = 1e-4
"""Silhouettes that touch are let into one another by this, so that rounding opens no seam between them: a tenth
of a thousandth of a millimetre, far below what a ball is found to."""

CORNER_MISS = 1e-5
"""A corner that stands past a plane by less than this, mm, is rounding: far below the finest shaving."""

MOVEMENT_SPREAD = 0.15
"""Standard deviation of the movement of one species, as a share of it: the coefficient of variation of its
shrinkage (Wood Handbook, chapters 4 and 5, from memory: 14 to 15 %)."""

MOISTURE_SIGMA = 0.5
"""Standard uncertainty of the change between two moisture contents, in %: a pin meter reads to about 1 % (common
practice, no source)."""

STANDS_STILL = 0.1
"""A width that moves by less than this from season to season is taken to stand still: no gap is set finer."""

ROUND_ENOUGH = 0.5
"""A section whose measures across differ by less than this is round to the hand: what a lathe leaves."""

SECTION_LEVELS = 0.05
"""A handrail's section is read level by level in steps of this: a tenth of a division of a rule."""

SHARP_TURN_DEG = 15.0
"""An outline that turns by more than this at one point has a sharp edge there; rounded edges are drawn finer."""

FOOTHOLD_DEPTH = 15.0
"""A ledge no deeper than this gives a foot no hold (from memory: the offset that the notes to a national code
pass; else common practice)."""

FOOTHOLD_SLOPE_DEG = 45.0
"""A ledge steeper than this gives a foot no hold (common practice, no source)."""

FOOT_ROOM = 50.0
"""A ledge with less clear height above it than this takes no foot (common practice, no source)."""

FLIGHT_RUNS_ON = 300.0
"""How far a flight's rail may run on over a floor before it is that floor's guarding, where the place names no
length: the length that one national handbook gives for the dip between the two."""

CUBE_TURNS = 24
"""Turns of a cube that are tried within a right angle; between two of them its side differs by less than 0.4 %."""

RAILS_MEET = 0.05
"""mm within which two handrails count as being at one height on a corner: the solver of their lines works to far
less, and no saw or plane makes more of it."""

STRAIGHT_ON = 0.05
"""Degrees of turn in plan up to which two legs lie in one line: 1 mm in more than a metre of rail."""

ROLL_SHOWS = 0.5
"""Degrees of roll between two mitred sections up to which the arrises meet within half a millimetre on a 60 mm
rail (60 mm times the tangent of a quarter degree), which sanding takes off."""

TRIAL_SHAVING = 2.0
"""What a saw takes off when an end is tried and cut again: less than a kerf's half and the blade bends away (common
practice, no source)."""

FIT_ALIKE = 0.1
"""Joints that gape by amounts within this of each other gape alike: what a sharp pencil cannot mark."""

CHORD_OFF_ARC = 0.01
"""mm by which the chords that stand for an arc in a polygon may leave it: finer than any saw or router follows."""

HALF_TURN_DEG = 175.0
"""Degrees of turn in plan from which a leg folds back along the one before: nearer than that to half a turn, two
rails a metre on are less than a hand's breadth apart (common practice, no source)."""

SHARPEST_MITRE_DEG = 135.0
"""Degrees of turn in plan up to which two rails are mitred together: beyond it the cut is more than twice as long as
the rail is wide, and its tip breaks off (common practice, no source)."""

LEAN_READ_DEG = 0.1
"""Standard uncertainty of a lean read with a level or plumb line: 1 mm in 600 (common practice, no source)."""

TWIST_READ_DEG = 0.5
"""Standard uncertainty of how a newel or wall is turned in plan, read with a square: 1 mm across 100 mm of face
(common practice, no source)."""

NEWEL_MOVES = 2.0
"""mm by which a newel that is still being set can be moved to close a rail's joint (common practice, no source)."""

CUT_FITS = 1e-6
"""Pieces and kerfs that overrun a bar or sheet by less than this, mm, fit: rounding of sums in doubles, and far
less than any saw can be set to."""

FOOT_OVERHANG = 0.5
"""How far (mm) the foot of an upright may pass the edge of its tread before it is said to stand across the nosing:
less than an arris taken off by sandpaper."""

LEAST_UPRIGHT_WALL = 6.0
"""mm of wood beside a dowel or screw in an upright below which its end splits (common practice, no source)."""

LEAST_TENON = 9.0
"""Width (mm) of a tenon of an upright below which it shears off (common practice, no source)."""

CABLES_AT_REST = 76.0
"""mm between cables at rest where nothing says how hard they are pushed apart (common practice, no source: 3 in,
75 to 80 mm)."""

CABLE_HELD = 1220.0
"""mm along a cable from one thing that holds it to the next, beyond which the trade does not go (common practice, no
source: 4 ft)."""

LEAST_CUT = 6.0
"""mm: an opening narrower than this is not cut through a board: the smallest router bit in common use (common
practice, no source)."""

LEAST_BRIDGE = 12.0
"""mm of board between two openings, or between an opening and the edge, below which it breaks in use (common
practice, no source: about the thickness of the thinnest board that is used)."""

OUTLINE_CLOSES = 0.05
"""mm within which the ends of a drawn line meet: what a drawing program leaves by rounding, finer than any cut."""

CABLE_POST = 88.0
"""mm: side of a wooden end post below which the trade does not tie cables to it (common practice, no source: 3 1/2 in
square, planed to a little less, with rails that strut it)."""

MECHANISM_PIVOT = 1e-9
"""A frame moves freely where a pivot of its stiffness keeps less than this share of its diagonal: sound balustrades
keep 0.007, with hardly any base spring 0.00001, frames free to move 0.000000000002 (measured)."""

MODES_TOLD = 6
"""At most so many ways in which a frame moves freely are looked for: one joint forgotten shows one, a whole
balustrade that floats shows six."""

SHEET_TAKEN_FOR = 0.6
"""A sheet whose measured thickness is within this of a part's, mm, is taken for it: what sheets of one sort differ by
among themselves (EN 315 allows more to the thicker ones); the part's sizes should then be those measured."""

HAND_OVER_RAIL = 75.0
"""mm plumb between a handrail's top and anything over it in which a closed hand slides along (common practice, no
source: the height of a fist)."""

PULL_READ = 0.5
"""Standard uncertainty (mm) of how far a post's head moves when it is pulled at, read with a rule held beside it
(common practice, no source)."""

SAME_NODE = 5.0
"""mm within which two joints on a rail are one in the strength model: far less than any member is wide."""

CUT_APART = 1.0
"""Least length (mm) of a piece where a member is cut for a force on it: shorter ones are so stiff beside a rail of
metres that digits are lost; a force nearer than that is moved there with its moment."""

RAIL_STEP = 150.0
"""Greatest distance (mm) between points of a rail in the strength model, so that the largest movement and moment are
not missed between them."""

BRUSH_ROOM = 6.0
"""mm between an upright and a newel or wall below which no brush gets between them (common practice, no source)."""

FALLS_OVER = 500.0
"""mm of reckoned movement of a rail under the load of the rules from which it does not stand: over half its height,
where a model of small movements has lost its sense (common practice, no source)."""

TOUCHING = 0.6
"""mm within which two faces lie against each other: more than a fillet's play in its place, less than a sheet of card
(common practice, no source)."""

REACHED = 0.01
"""mm by which a pad's sweep is let out, so that roundings of the outlines leave no slivers."""

SHADOW_TURNS = 8
"""Straight pieces for a quarter of a round pad's edge: it is then inside the true circle by 0.5 % of its radius."""

SHUT_SHARE = 0.02
"""A face of which no more than this share is out of a tool's reach counts as open: what is left are inner corners
that a folded paper takes (common practice, no source)."""

LAID_GRID = 1e-6
"""mm of the grid on which joints and shadows on a face are laid out: far below what is cut, far above rounding."""

MASKED = 2.0
"""mm of width below which a strip of a joint is not masked: the rest of the joint holds (common practice, no
source)."""

JOINT_CLOSES = 0.5
"""mm by which the length of a piece may be out and its joint still closes to the eye (common practice, no source)."""

RAIL_SET = 1.0
"""Standard uncertainty (mm) of how far apart two rails stand once they are fitted, before that is measured (common
practice, no source)."""

NEWEL_SET = 3.0
"""A newel that is set by hand stands within this (mm) of its mark, 19 times in 20 (common practice, no source: a
pencil line, a shaved foot and a level)."""

NEWEL_FAR = 15.0
"""A newel that reads farther than this (mm) from its mark is asked about: nobody sets one so far off by mishap
(common practice, no source)."""

PIECE_FITS = 0.3
"""A piece at hand that is short by no more than this (mm), or whose end is off by it across its section, is fitted as
it is (common practice, no source: what a clamp closes and a shaving leaves)."""

SETTING_OPENS = 0.1
"""mm that a joint may gape because one setting of a saw serves several cuts: less than a shaving, and than glue fills
(common practice, no source)."""

LEAST_BLOCK_DEG = 10.0
"""Angle of the smallest taper block made for a saw: a thinner wedge splits, and its angle is hard to saw true (common
practice, no source)."""

RAIL_NEEDS = 150.0
"""mm: width of a piece below which a guide rail has nothing to lie on (common practice, no source)."""

ON_ONE_ARC = 1e-5
"""Corners this near to one circle were chords of it: far above rounding, far below what a cutter follows."""

ROUTED_TRUE = 0.01
"""What a router file gives, put together again, keeps to the piece within this: a tenth of a slot's room."""

SAME_LAYER = 0.02
"""Heights in a stack this near to one another are one: no depth of a router is set finer."""

BOX_PLAY = 0.3
"""mm between a piece and each wall of the mitre box or guide it slides in: it neither binds nor rocks by more than a
shaving (common practice, no source)."""

ONE_SPACER = 0.15
"""mm by which gaps may differ that one spacer stick is cut for: less than a pencil line (common practice, no
source)."""

CAULS_ALIKE_DEG = 1.0
"""Degrees by which joints may differ that one pair of cauls serves: a clamp's jaw gives as much (common practice, no
source)."""

ONE_JIG_DEG = 0.25
"""Degrees by which angles may differ that one stop or stand is cut for: none of them is part of a joint (common
practice, no source)."""
