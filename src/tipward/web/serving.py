"""Running the server."""

from collections.abc import Iterable

from tipward import tasks
from tipward.web.app import create_app

STOP_WITHIN_S = 5


def serve(
    shop: tasks.Shop, host: str = "127.0.0.1", port: int = 8077, lan: bool = False, names: Iterable[str] = ()
) -> None:
    """Serve the pages until interrupted.

    Parameters
    ----------
    shop : Shop
        The shop.
    host : str
        Address to listen on.
    port : int
        Port to listen on; 0 takes any that is free.
    lan : bool
        Reachable from other machines: everybody signs in.
    names : iterable of str
        Further host names under which it is opened.

    Returns
    -------
    None
        When it is stopped.

    Raises
    ------
    InputError
        ``lan`` without an account, or the port is taken.

    Source: design (docs/explanation/pages.md).

    >>> callable(serve)
    True
    """
    import uvicorn  # only when pages are served

    app = create_app(shop, lan, names)
    config = uvicorn.Config(
        app,
        host=host,
        port=port,
        log_level="warning",
        server_header=False,
        proxy_headers=False,
        timeout_graceful_shutdown=STOP_WITHIN_S,
        limit_concurrency=400,
    )
    uvicorn.Server(config).run()
