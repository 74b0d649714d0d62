"""The application: doorway, pages, API, and one answer for each kind of error."""

from collections.abc import Iterable
from importlib.metadata import version

from fastapi import Depends, FastAPI
from starlette.middleware import Middleware
from starlette.staticfiles import StaticFiles

from tipward import tasks
from tipward.foundation import InputError, Problem
from tipward.web import pages
from tipward.web.accounts import Throttle
from tipward.web.api import add_api
from tipward.web.cases_kept import KeptCases
from tipward.web.doorway import Doorway
from tipward.web.failures import add_failures
from tipward.web.forms import posted
from tipward.web.links import LinkGoneError, gone
from tipward.web.photos import PhotoDoor
from tipward.web.showing import HERE
from tipward.web.visitor import may, owner_only, visiting

LARGEST_BODY = 1_500_000


def create_app(shop: tasks.Shop, lan: bool = False, names: Iterable[str] = ()) -> FastAPI:
    """Make the application that serves the pages and the API of a shop.

    Parameters
    ----------
    shop : Shop
        The shop.
    lan : bool
        Reachable from other machines: everybody signs in.
    names : iterable of str
        Further host names under which it is opened.

    Returns
    -------
    FastAPI
        ASGI application.

    Raises
    ------
    InputError
        ``lan`` while nobody could sign in; it says what to do.

    Source: design (docs/explanation/pages.md).

    >>> import tempfile
    >>> create_app(tasks.open_shop(tempfile.mkdtemp() + "/book.db")).title
    'Tipward'
    """
    if lan and not any(one.role == "owner" and one.revoked is None for one in tasks.list_accounts(shop)):
        step = "make the first one with: tipward serve --add-account NAME"
        raise InputError("serve", [Problem("--lan", "needs an account, and there is none yet", step)])
    app = FastAPI(
        title="Tipward",
        version=version("tipward"),
        summary="Keeps welding wire feeding smoothly: fit, force, the guided case, its proof.",
        docs_url=None,
        redoc_url=None,
        openapi_url="/api/openapi.json",
        middleware=[Middleware(Doorway, lan=lan, names=tuple(names)), Middleware(PhotoDoor)],
        max_body_size=LARGEST_BODY,
    )
    app.state.shop, app.state.lan = shop, lan
    app.state.kept, app.state.throttle = KeptCases(shop), Throttle()
    _add_pages(app)
    add_api(app)
    add_failures(app)
    app.add_exception_handler(LinkGoneError, gone)
    app.mount("/static", StaticFiles(directory=HERE / "static"), name="static")
    return app


def _add_pages(app: FastAPI) -> None:
    """Every page route checks role, origin and form token here, so that a new page cannot forget to."""
    for router in pages.OPEN:
        app.include_router(router, include_in_schema=False, dependencies=[Depends(posted)])
    for router in pages.SIGNED_IN:
        app.include_router(router, include_in_schema=False, dependencies=[Depends(may), Depends(posted)])
    for router in pages.ASKING:
        app.include_router(router, include_in_schema=False, dependencies=[Depends(visiting), Depends(posted)])
    for router in pages.CUSTOMER:
        app.include_router(router, include_in_schema=False)
    for router in pages.OWNER:
        app.include_router(router, include_in_schema=False, dependencies=[Depends(owner_only), Depends(posted)])
