"""From the strength tables of a sound job file to the settings that each design is judged with."""

from pitchline.catalogue.strength import fixing_type
from pitchline.job.model import JobFile
from pitchline.job.model_design import DesignTable
from pitchline.job.model_strength import (
    BaseFixingsTable,
    BaseKind,
    DesignStrengthTable,
    DowelledBase,
    FaceBase,
    FloorSupport,
    FoundBase,
    JoistSupport,
    NotchedBase,
    PlateBase,
    PullTable,
    RailEndsTable,
    RailJointsTable,
    ScrewedBase,
    SocketBase,
    StrengthTable,
    StringSupport,
    SupportKind,
    TreadSupport,
    Way,
)
from pitchline.strength.bases import supports
from pitchline.strength.bases.joints import AsFound, Base, Dowelled, FaceFixed, InSocket, OnPlate
from pitchline.strength.bases.pull import PullTest
from pitchline.strength.settings import (
    JointFixing,
    PostBase,
    RailFixing,
    SeatFixing,
    StrengthSettings,
    WallHold,
)
from pitchline.strength.woods import Graded, wood_of


def settings_of(file: JobFile) -> dict[str, StrengthSettings]:
    """What every design's strength is judged with, by the design's id."""
    head = file.strength or StrengthTable()
    return {table.id: _settings(head, table) for table in file.designs}


def _settings(head: StrengthTable, design: DesignTable) -> StrengthSettings:
    own = design.strength or DesignStrengthTable()
    graded = Graded(
        {row.material: row.strength_class for row in head.materials if row.strength_class is not None},
        {row.material: row.grade for row in head.materials if row.grade is not None},
    )
    return StrengthSettings(
        code=head.code,
        service=head.service_class,
        duration=head.load_duration,
        bases={post.post: _standing(post, graded) for post in own.posts},
        graded=graded,
        rail_fixing=RailFixing() if own.rail_ends is None else _rail_ends(own.rail_ends),
        seat_fixing=SeatFixing() if own.base_fixings is None else _base_fixings(own.base_fixings),
        rail_joint=JointFixing() if own.rail_joints is None else _rail_joints(own.rail_joints),
        walls={wall.piece or "": WallHold(wall.pull, wall.shear, wall.count) for wall in own.walls},
        doubtful_fixings=head.doubtful_fixings,
    )


def _rail_ends(table: RailEndsTable) -> RailFixing:
    return RailFixing(fixing_type(table.fixing), table.count, table.thread)


def _base_fixings(table: BaseFixingsTable) -> SeatFixing:
    return SeatFixing(fixing_type(table.fixing), table.apart, table.thread)


def _rail_joints(table: RailJointsTable) -> JointFixing:
    return JointFixing(fixing_type(table.fixing), table.count)


def _standing(table: BaseKind, graded: Graded) -> PostBase:
    support = None if table.support is None else _support(table.support, graded)
    return PostBase(_base(table), support, tuple(map(_pull, table.pulls)))


def _pull(table: PullTable) -> PullTest:
    return PullTest(table.force, table.height, table.moved, table.way is Way.ACROSS, table.moved_sigma)


def _base(table: BaseKind) -> Base | None:
    """The base stated; None where only its support or a pull test is."""
    match table:
        case NotchedBase() | FaceBase():
            return FaceFixed(
                fixing_type(table.fixing),
                table.rows,
                table.columns,
                table.pitch,
                table.spread,
                table.edge,
                table.notch if isinstance(table, NotchedBase) else 0.0,
                table.thread,
                table.tight_holes,
            )
        case PlateBase() | ScrewedBase():
            return OnPlate(
                fixing_type(table.fixing), table.count, table.lever_along, table.lever_across, table.thread
            )
        case DowelledBase():
            return Dowelled(table.diameter, table.depth)
        case SocketBase():
            return InSocket(table.depth)
        case FoundBase():
            return AsFound()
        case _:
            return None


def _support(table: SupportKind, graded: Graded) -> supports.Support | supports.OnString:
    wood = None if table.material is None else wood_of(table.material, graded)
    match table:
        case StringSupport():
            return supports.OnString(wood_of(table.material, graded), table.thickness, table.depth)
        case JoistSupport():
            return supports.beam(
                wood_of(table.material, graded),
                table.width,
                table.depth,
                table.free,
                name=table.kind,
                blocked=table.blocked,
            )
        case FloorSupport():
            return supports.floor(wood_of(table.material, graded))
        case TreadSupport():
            return supports.tread(wood_of(table.material, graded))
        case _:
            return supports.solid(wood)
