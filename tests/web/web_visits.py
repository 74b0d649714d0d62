"""How the tests of the pages visit them: without a screen, against a running server, and with a watched phone."""

import re
import shutil
import socket
import threading
import time
from dataclasses import dataclass, field
from functools import cache

import uvicorn
from starlette.testclient import TestClient

from tipward import tasks
from tipward.web import create_app, hash_password

HERE = "http://localhost"
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
SETUP = """name = "bay 3"
[wire]
wire_class = "er70s-6"
diameter = "0.9 mm"
[torch_lead]
length = "4 m"
turns = 1
turn_radius = "150 mm"
[liner]
material = "steel"
bore = "2 mm"
[drive_rolls]
groove = "v"
groove_size = "0.9 mm"
[contact_tip]
marked_size = "0.9 mm"
"""
PASSWORD = "a long pass phrase"


@cache
def hashed_password():
    """Hashing is slow on purpose: once is enough."""
    return hash_password(PASSWORD)


def open_case(shop, path, words="the wire slips and burns back", tools="all", **more):
    place = tasks.place(shop, "machine", tools, "all", qualified=False)
    return tasks.open_case(shop, path, (), words, place, **more)


@dataclass
class Visit:
    """A browser without a screen: one cookie jar, the token of the last page, forms sent as a page sends them."""

    client: TestClient
    page: str = ""
    headers: dict = field(default_factory=lambda: {"origin": HERE})

    def get(self, url, **more):
        answer = self.client.get(url, **more)
        self.page = answer.text
        return answer

    def hidden(self, name):
        return re.search(f'name="{name}" value="([^"]*)"', self.page)[1]

    def post(self, url, data, **more):
        """A form of the last page: its token, and its key and last page seen where it has them."""
        own = {name: self.hidden(name) for name in ("token", "key", "after") if f'name="{name}"' in self.page}
        headers = more.pop("headers", self.headers)
        return self.client.post(url, data={**own, **data}, headers=headers, **more)


@dataclass
class Running:
    """The real server on a free port of this machine."""

    shop: object
    lan: bool = False
    port: int = 0
    server: uvicorn.Server | None = None
    thread: threading.Thread | None = None

    @property
    def url(self):
        return f"http://127.0.0.1:{self.port}"

    def start(self):
        if not self.port:
            with socket.socket() as free:
                free.bind(("127.0.0.1", 0))
                self.port = free.getsockname()[1]
        config = uvicorn.Config(create_app(self.shop, self.lan), port=self.port, log_level="error", lifespan="off")
        self.server = uvicorn.Server(config)
        self.thread = threading.Thread(target=self.server.run, daemon=True)
        self.thread.start()
        until = time.monotonic() + 20
        while not self.server.started and time.monotonic() < until:
            time.sleep(0.02)
        assert self.server.started
        return self

    def stop(self):
        self.server.should_exit = True
        self.thread.join(15)


# A refusal that a page shows on purpose is also noted by the browser itself.
REFUSED = re.compile(r"Failed to load resource: the server responded with a status of (404|409|422)")


class Watched:
    """A phone whose console and requests are watched: an error or a foreign host fails the test."""

    def __init__(self, browser, url, **more):
        more.setdefault("viewport", {"width": 360, "height": 740})
        more.setdefault("reduced_motion", "reduce")  # half a fade is no colour to measure
        self.context = browser.new_context(base_url=url, **more)
        self.url, self.errors, self.foreign = url, [], []
        self.context.on("request", self._asked)
        self.page = self.context.new_page()
        self.page.set_default_timeout(15_000)
        self.page.on("console", lambda said: self.errors.append(said.text) if said.type == "error" else None)
        self.page.on("pageerror", lambda problem: self.errors.append(str(problem)))

    def _asked(self, request):
        if not request.url.startswith((self.url, "data:", "blob:")):
            self.foreign.append(request.url)

    def close(self):
        self.context.close()
        assert self.foreign == []
        assert [said for said in self.errors if not REFUSED.match(said)] == []
