"""The sizes a job file may hold, each with its reason, in mm or degrees.

They are there to catch a slip of the pen or a wrong unit, not to judge the work: what a rule allows is a
matter for the checks. All are common practice without a source, drawn wide on purpose.
"""

from pitchline.job.fields import Angle, Count, Day, Figure, Letters, Name, Size, Switch, Word, Words
from pitchline.survey.instruments import instrument_types

RISE = Size("a rise", 50, 400, "no step is lower than a kerb or higher than a knee")
GOING = Size("a going", 50, 800, "less is no foothold, more is a landing")
RISERS = Count("the number of risers", 2, 40)
STEP = Count("the number of a step", 1, 40)
WIDTH = Size("a flight's width", 300, 5000, "from a loft stair to a public one")
NOSING = Size("a nosing's overhang", 0, 100, "more would break off")
HEADROOM = Size("a headroom", 1000, 6000, "less cannot be walked under")
COVERING = Size("a covering", 0, 150, "carpet, boards, screed or tiles")

POINTS = Count("the number of points along an edge", 2, 40)
EDGE_RUN = Size("a run along an edge", 5, 20_000, "points nearer than that are one, and a tape is shorter")
SAG = Size("a height above the level floor", -150, 150, "a floor that is further out is no level one")
BELOW = Size("a drop beside the stair", 0, 30_000, "it is counted downwards, and a stairwell is less deep")
PLAN_TURN_DEG = Angle("a turn in plan", -180, 180, "half a turn leads back")

SPAN = Size("a distance between two points", -20_000, 20_000, "one flight is shorter")
STRAIGHT = Size("a straight distance", 1, 20_000, "one flight is shorter, and a distance is above zero")
DROP = Size("a distance from a level line", -20_000, 20_000, "one flight is lower")
MARGIN = Size("a margin", -300, 600, "a string's edge lies close to the nosings")
SIGMA = Size("a standard uncertainty", 0.01, 50, "finer cannot be read, coarser says nothing")
PITCH_DEG = Angle("a pitch", 5, 85, "from a ramp to a ladder")
SIGMA_DEG = Angle("a standard uncertainty", 0.005, 5, "finer cannot be read, coarser says nothing")

INSTRUMENT = Word("the kind of instrument", 40, tuple(instrument_types()))
LIMIT = Size("a limit of error", 0, 50, "plus or minus; coarser says nothing")
LIMIT_DEG = Angle("a limit of error", 0, 5, "plus or minus; coarser says nothing")
REACH = Size("a level's reach", 100, 50_000, "from a hand level to a laser out of doors")

STRING_THICKNESS = Size("a string's thickness", 10, 150, "a board or a built-up string")
STRING_DEPTH = Size("a string's depth", 80, 700, "it must carry the treads")
POST_SECTION = Size("a post's side", 20, 400, "from a steel post to a box newel")
FACE_HEIGHT = Size("the height of a face", 0, 15_000, "it is counted upwards from the lower floor")
TOP_HEIGHT = Size("the height of a post's top", 100, 16_000, "it is counted upwards from the lower floor")
LEAN_OFFSET = Size("how far a post is out", -300, 300, "more is no post but a brace")
LEAN_OVER = Size("the height a lean is read over", 100, 3000, "less gives no lean, more is no post")
TWIST_DEG = Angle("a twist", -45, 45, "a square post turned further shows its next face")
SKEW_DEG = Angle("a wall's skew", -60, 60, "a wall turned further runs along the stair")

RAIL = Size("a rail's side", 10, 400, "from a steel bar to a capping board")
RAIL_HEIGHT = Size("a handrail's height", 300, 1500, "from a child's rail to a guard on a roof")
ROUND_OVER = Size("a round-over", 0, 200, "half of the largest rail")
BASE_CLEARANCE = Size("a clearance below the base rail", 0, 500, "more is no base rail")
PACKING = Size("a packer's least thickness", 0, 100, "more is a rail, not a packer")

STATION_OFFSET = Size("an offset", -3000, 3000, "a nearer point should be named")
ABOVE_RAIL = Size("a newel's height above the rail", 0, 1500, "from flush to a storey post")
LAP = Size("a lap down the string", 0, 700, "no further than the string is deep")
DROP_BELOW = Size("how far a newel hangs down", 0, 3000, "from flush to a storey")
EASING = Size("the radius of an easing", 20, 3000, "tighter is a mitre, wider is a straight rail")
OVERHANG = Size("an overhang", 0, 1500, "beyond that the rail needs a post")

UPRIGHT = Size("an upright's side", 4, 250, "from a rod to a board")
GAP = Size("a gap", 5, 500, "from a slot to a ranch fence")
MODULE = Size("a module", 10, 1000, "centre to centre of neighbours")
COUNT = Count("the number of uprights", 1, 400)
LEAN_DEG = Angle("a lean", -60, 60, "an upright leaning further is a rail")
TURNING = Size("a place on a turning", 0, 2000, "no upright is longer")
DIAMETER = Size("a diameter", 3, 250, "from a rod to a newel")
ARRIS = Size("a chamfer", 0, 60, "half of a stout upright")

GROOVE = Size("a groove's depth", 1, 100, "shallower holds nothing, deeper cuts the rail through")
FILLET = Size("a fillet's thickness", 1, 100, "it lies in the groove")
PLAY = Size("a play", 0, 10, "more is not a fit")
LAYERS = Count("the number of layers", 1, 3)
LAYER = Size("a layer's thickness", 3, 80, "from thin plywood to a plank")
BLOCK = Size("a block's depth", 1, 300, "it lies within the rail")
BORE = Size("a hole's depth", 1, 300, "it ends within the rail")
BUILD_TOLERANCE = Size("a build tolerance", 0, 10, "what a careful maker holds")
TRIM = Size("a trimming allowance", 0, 200, "more is waste")
MOISTURE = Figure("a moisture content", 3, 25, "kiln dried wood is no drier, seasoned wood no wetter")
HUMIDITY = Figure("a relative humidity", 5, 95, "no room that people live in lies outside")
TEMPERATURE = Figure("a temperature", 0, 45, "no room that people live in lies outside", "degrees C")

TITLE = Words("the title", 120)
PERSON = Words("the name", 80)
FILE = Words("the file name", 240)
MATERIAL = Name("the material", 60)
ID = Name("the name", 40)
READING_ID = Words("the reading's name", 80)
RULES = Name("the rule set", 60)
YES_NO = Switch()
DAY = Day()
CURRENCY = Letters("the currency", 3)
