"""The pages in the order of the register, and the routes that some of them bring along."""

from starlette.routing import Route

from pitchline.app.web import (
    check_page,
    compare,
    cutting_page,
    design,
    making_page,
    pack_page,
    share_routes,
    stair_page,
    strength_page,
)
from pitchline.app.web.pages import Page

PAGES: tuple[Page, ...] = (
    stair_page.PAGE,
    design.PAGE,
    compare.PAGE,
    check_page.PAGE,
    strength_page.PAGE,
    cutting_page.PAGE,
    making_page.PAGE,
    pack_page.PAGE,
)


def routes_of_pages() -> list[Route]:
    """Routes beside the pages themselves."""
    return [*design.ROUTES, *compare.ROUTES, *share_routes.ROUTES]
