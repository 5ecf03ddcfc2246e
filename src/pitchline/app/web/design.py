"""The design page: pictures of one design, what can be chosen, figures with sliders, its parts and what they need."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response
from starlette.routing import Route

from pitchline.app.web.desk import Desk
from pitchline.app.web.pages import Page, Told, environment
from pitchline.app.web.pictures import kept
from pitchline.app.web.reply import desk_of, words_of
from pitchline.app.web.state import State
from pitchline.app.web.words import Words

GLB = "model/gltf-binary"


def design_tables(state: State) -> list[Mapping[str, Any]]:
    """The designs as the job file has them."""
    found = state.raw.get("designs")
    return [table for table in found if isinstance(table, dict)] if isinstance(found, list) else []


def index_of(state: State, of: str) -> int | None:
    """The number of the design that a page is of: the one of that id, else the first; None where there is none."""
    ids = [str(table.get("id", "")) for table in design_tables(state)]
    if not ids:
        return None
    return ids.index(of) if of in ids else 0


def _tell(desk: Desk, state: State, words: Words) -> Told:
    return _tell_of(desk, state, words, "")


def _tell_of(desk: Desk, state: State, words: Words, of: str) -> Told:
    from pitchline.app.web.design_asked import Asked
    from pitchline.app.web.design_fields import field_groups
    from pitchline.app.web.design_ways import GROUPS

    tables, index = design_tables(state), index_of(state, of)
    common: Told = {"designs": _register(tables, index), "index": index, "groups": GROUPS}
    if index is None:
        return {**common, "whole": None, "name": "", "add": _first_design(state)}
    asked = Asked(state.raw, index, state.unit)
    whole = balustrade_of(state, str(tables[index].get("id", "")))
    desk.kept["design told"] = (state.version, whole)
    return {
        **common,
        "name": str(tables[index].get("id", "")),
        "table": tables[index],
        "whole": whole,
        "pictures": _pictures(whole, state),
        "eye": _eye(whole),
        "knobs": field_groups(asked, whole, words.under("figure")),
        "materials": _materials(asked),
        "rows": _rows(whole, state),
        "verdicts": _verdicts(whole),
        "copy": _copy(tables, index),
        "remove": [{"path": ["designs", index], "drop": True}],
    }


def balustrade_of(state: State, name: str) -> Any:
    """A design as it is solved, None where there is none of that id."""
    if state.solved is None:
        return None
    return next((whole for whole in state.solved.balustrades if whole.id == name), None)


def _register(tables: list[Mapping[str, Any]], index: int | None) -> list[Told]:
    return [
        {"id": str(table.get("id", "")), "title": str(table.get("title", "")), "chosen": number == index}
        for number, table in enumerate(tables)
    ]


def free_name(tables: list[Mapping[str, Any]]) -> str:
    """A letter that no design has yet."""
    taken = {str(table.get("id", "")).casefold() for table in tables}
    letters = (chr(ord("A") + k) for k in range(26))
    numbers = (f"D{k}" for k in range(27, 1000))
    return next(name for name in (*letters, *numbers) if name.casefold() not in taken)


def _copy(tables: list[Mapping[str, Any]], index: int) -> list[Told]:
    """The edit that adds the same design once more under a new letter."""
    name = free_name(tables)
    title = str(tables[index].get("title", ""))[:100]
    return [{"path": ["designs"], "add": {**tables[index], "id": name, "title": f"{title} ({name})"}}]


def _first_design(state: State) -> list[Told]:
    """The edit that adds a plain design to a stair that has none: square uprights between two newels."""
    from pitchline.app.web.design_start import plain_design

    made = plain_design(state.raw, state.unit)
    return [] if made is None else [{"path": ["designs"], "add": made}]


def _pictures(whole: Any, state: State) -> list[tuple[str, Markup]]:
    if whole is None or state.solved is None:
        return []
    from pitchline.app.web.design_drawing import elevations
    from pitchline.kit.words import show_in

    show = show_in(state.unit)
    return [(edge, Markup(svg)) for edge, svg in elevations(whole, show)]  # written by us, escaped


def _eye(whole: Any) -> str:
    if whole is None:
        return ""
    from pitchline.solids.scene import eye_for

    return ",".join(f"{value:.4f}" for value in eye_for(whole.edges))


@dataclass(frozen=True, slots=True)
class Material:
    """A field that names a material."""

    where: str
    path: list[Any]
    key: str
    value: str
    options: tuple[str, ...]


def _materials(asked: Any) -> list[Material]:
    """The materials of a design that can be changed, with those of the catalogue that suit."""
    from pitchline.catalogue.timber import list_timbers

    known = list_timbers()
    found = []
    for key in ("handrail", "base_rail", "infill", "bottom", "top"):
        table = asked.table(key)
        if "material" not in table:
            continue
        value = str(table["material"])
        options = known if value in known else (value, *known)
        path = ["designs", asked.index, key, "material"]
        found.append(Material(f"designs[{asked.index}].{key}.material", path, key, value, options))
    return found


def _rows(whole: Any, state: State) -> list[Told]:
    """The parts, alike ones together."""
    if whole is None:
        return []
    from pitchline.kit.units import show_length
    from pitchline.parts.explode import grouped

    return [
        {
            "mark": group.mark,
            "role": group.part.role.value,
            "quantity": group.quantity,
            "material": group.part.material,
            "sizes": [
                show_length(v, state.unit)
                for v in (group.part.length, group.part.width, group.part.thickness)
            ],
            "places": list(group.places),
        }
        for group in grouped(whole.parts)
    ]


_WORST = ("fail", "unsure", "advice")


def _verdicts(whole: Any) -> Told:
    """How many findings of each verdict, and those that need the user, worst first."""
    findings = () if whole is None else whole.findings
    counts = {word: sum(f.verdict.value == word for f in findings) for word in ("fail", "unsure", "pass")}
    pressing = [f for f in findings if f.verdict.value in _WORST and not f.code.startswith("notice.")]
    pressing.sort(key=lambda finding: _WORST.index(finding.verdict.value))
    return {"counts": counts, "pressing": pressing}


PIECES = {
    "designs": "design_designs.html",
    "elevation": "design_elevation.html",
    "verdicts": "design_verdicts.html",
    "knobs": "design_knobs.html",
    "pieces": "design_parts.html",
}
PAGE = Page("design", "design.html", _tell, PIECES, ("design.js",), ("viewer.css", "design.css"), _tell_of)


# ---------------------------------------------------------------- routes


def _scene(request: Request) -> Response:
    """The design last told, for the picture in space: also one that a slider only tries."""
    desk = desk_of(request)
    told = desk.kept.get("design told")
    whole = told[1] if told is not None else None
    if whole is None or whole.id != request.path_params["name"]:
        whole = balustrade_of(desk.job.state(), request.path_params["name"])
    if whole is None:
        raise HTTPException(404, "There is no such design.")
    return Response(scene_bytes(whole), media_type=GLB)


def _space(request: Request) -> Response:
    """The design in space as a picture, for a browser that draws nothing in space."""
    desk, name = desk_of(request), request.path_params["name"]
    state = desk.job.state()
    whole = balustrade_of(state, name)
    if whole is None:
        raise HTTPException(404, "There is no such design.")
    svg = kept(desk, f"space {name}", state.version, lambda: space_picture(whole))
    return Response(svg, media_type="image/svg+xml")


def space_picture(whole: Any) -> str:
    """A design and the stair about it in space, as SVG."""
    from pitchline.solids.drawn import picture_svg
    from pitchline.solids.picture import axonometric
    from pitchline.solids.scene import eye_for, scene_of

    scene = scene_of(whole.edges, [leg.parts for leg in whole.legs])
    return picture_svg(axonometric(scene.parts, scene.around, eye_for(whole.edges)), whole.title)


def scene_bytes(whole: Any) -> bytes:
    """A design and the stair about it as GLB."""
    from pitchline.solids.glb import scene_glb
    from pitchline.solids.scene import scene_of

    scene = scene_of(whole.edges, [leg.parts for leg in whole.legs])
    return scene_glb(whole.title, scene.parts, scene.around)


async def _ways(request: Request) -> Response:
    """The small pictures of one group of choices."""
    desk, words = desk_of(request), words_of(request)
    group, of = request.path_params["group"], request.query_params.get("of", "")

    def work() -> Response:
        from pitchline.app.web.design_pictures import pictured

        state = desk.job.state()
        index = index_of(state, of)
        if index is None:
            raise HTTPException(404, "There is no design.")
        shown = kept(
            desk,
            f"ways {index} {group}",
            state.version,
            lambda: pictured(desk.job, state, index, group, words),
        )
        if shown is None:
            raise HTTPException(404, "There is no such choice.")
        html = environment().get_template("design_ways.html").render(t=words, group=group, shown=shown)
        return HTMLResponse(html)

    return await run_in_threadpool(work)


async def _part(request: Request) -> Response:
    """One part: its picture, its sizes, its cuts."""
    words = words_of(request)

    def work() -> Response:
        from pitchline.app.web.design_part import part_told

        state, whole = _asked_for(request)
        told = part_told(state, whole, request.query_params.get("place", ""))
        if told is None:
            raise HTTPException(404, "There is no such part.")
        return HTMLResponse(environment().get_template("design_part.html").render(t=words, part=told))

    return await run_in_threadpool(work)


async def _plan(request: Request) -> Response:
    """Where a part lies in the cutting plan of its design."""
    desk, words = desk_of(request), words_of(request)

    def work() -> Response:
        from pitchline.app.web.design_part import plan_of, told_plan

        state, whole = _asked_for(request)
        solved = state.solved
        if solved is None:
            raise HTTPException(404, "There is no such design.")
        cutting = kept(desk, f"plan {whole.id}", state.version, lambda: plan_of(solved, whole))
        told = told_plan(whole, request.query_params.get("place", ""), cutting)
        return HTMLResponse(environment().get_template("design_plan.html").render(t=words, plan=told))

    return await run_in_threadpool(work)


def _asked_for(request: Request) -> tuple[State, Any]:
    """The state and the design that a request names. HTTPException where there is none."""
    state = desk_of(request).job.state()
    index = index_of(state, request.query_params.get("of", ""))
    whole = None if index is None else balustrade_of(state, str(design_tables(state)[index].get("id")))
    if whole is None:
        raise HTTPException(404, "There is no such design.")
    return state, whole


def _routes() -> Iterator[Route]:
    yield Route("/design/scene/{name}", _scene)
    yield Route("/design/space/{name}.svg", _space)
    yield Route("/design/ways/{group}", _ways)
    yield Route("/design/part", _part)
    yield Route("/design/plan", _plan)


ROUTES: list[Route] = list(_routes())
