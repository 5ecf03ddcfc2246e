"""The page to send to the household, downloaded from the app."""

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response
from starlette.routing import Route

from pitchline.app.web.compare import chosen_of, household_designs
from pitchline.app.web.reply import desk_of, words_of


async def _share(request: Request) -> Response:
    """``?of=A,B&costs=yes&answer_to=NAME@PLACE``: the file, as a download."""
    desk, words = desk_of(request), words_of(request)
    asked = request.query_params

    def work() -> Response:
        from pitchline.app.web.share import Asked, checked_address, reference_of, share_page

        answer_to = checked_address(asked.get("answer_to", "")[:130])
        state = desk.job.state()
        if state.solved is None or not state.fresh:
            raise HTTPException(409, words("share.unsound"))
        chosen = chosen_of(state, asked.get("of", ""))
        costs = asked.get("costs") == "yes"
        designs = household_designs(desk, state, chosen, words, costs=costs)
        if not designs:
            raise HTTPException(404, "There is no design to show.")
        told = Asked(chosen, costs, answer_to, reference_of(state.text))
        name = f"{desk.job.path.stem}-designs.html"
        ascii_name = name.encode("ascii", "replace").decode("ascii").replace("?", "_").replace('"', "_")
        headers = {"content-disposition": f'attachment; filename="{ascii_name}"'}
        return HTMLResponse(share_page(state.solved, designs, told, words), headers=headers)

    return await run_in_threadpool(work)


ROUTES: list[Route] = [Route("/share.html", _share)]
