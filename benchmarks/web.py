"""The pages under load: fifty cases at once on one server, the same pages alone, and the first page after the start."""

import asyncio
import random
import re
import socket
import statistics
import subprocess
import sys
import tempfile
import time
from collections import defaultdict
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import httpx2

NAME = "web"
CLIENTS = 50
# Nobody does a check in less: the shortest takes minutes. One answer every few seconds a phone is many shops at once.
PAUSE_S = 5.0
SEED = 7
SETUP = '[wire]\nwire_class = "er70s-6"\ndiameter = "0.9 mm"\n[torch_lead]\nlength = "4 m"\nturns = 1\n'
WORDS = ("burns back", "the wire slips", "only when the lead is bent", "nest at the rolls", "eats tips")
TOOLS = ["torch light", "pliers", "gloves", "side cutters"]
Times = dict[str, list[float]]


def run(quick: bool) -> tuple[dict[str, float], list[str]]:
    """Measure on loopback, client and server on the same machine."""
    answers = 2 if quick else 8
    with tempfile.TemporaryDirectory() as folder, _server(Path(folder) / "book.db") as (url, first_s, memory):
        asyncio.run(_many(url, 1, 1, 0.0))
        alone, errors_alone = asyncio.run(_many(url, 1, 3 * answers, 0.0))
        load, errors = asyncio.run(_many(url, CLIENTS, answers, PAUSE_S))
        burst, errors_burst = asyncio.run(_many(url, CLIENTS, 2 if quick else 4, 0.0))
        figures = {"clients": float(CLIENTS), "first_page_s": first_s, "peak_mb": memory()}
    figures["errors"] = float(errors_alone + errors + errors_burst)
    for name, times in (("", load), ("alone_", alone), ("burst_", burst)):
        everything = [value for values in times.values() for value in values]
        figures[f"{name}p50_ms"], figures[f"{name}p95_ms"] = _quantiles(everything)
    for page, values in load.items():
        figures[f"{page}_p50_ms"], figures[f"{page}_p95_ms"] = _quantiles(values)
    figures["p50_ratio_to_alone"] = figures["p50_ms"] / figures["alone_p50_ms"]
    notes = [
        f"{CLIENTS} phones, each its own case and {answers} answers, a pause of {PAUSE_S:g} s on average between them",
        "alone_: the same pages, one phone; burst_: fifty phones that never pause; clients run on the same machine",
    ]
    return figures, notes


def _quantiles(values: list[float]) -> tuple[float, float]:
    cuts = statistics.quantiles(values, n=20, method="inclusive")
    return 1e3 * cuts[9], 1e3 * cuts[18]


@contextmanager
def _server(book: Path) -> Iterator[tuple[str, float, object]]:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    url, begun = f"http://127.0.0.1:{port}", time.perf_counter()
    command = [sys.executable, "-m", "tipward", "serve", "--port", str(port), "--casebook", str(book)]
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
    try:
        yield url, _first_page(url, begun), lambda: _peak_mb(process.pid)
    finally:
        process.terminate()
        process.wait(15)


def _first_page(url: str, begun: float) -> float:
    while time.perf_counter() - begun < 60:
        try:
            if httpx2.get(url).status_code == 200:
                return time.perf_counter() - begun
        except httpx2.TransportError:
            time.sleep(0.01)
    raise TimeoutError("no first page within a minute")


def _peak_mb(pid: int) -> float:
    text = Path(f"/proc/{pid}/status").read_text()
    return int(re.search(r"VmHWM:\s+(\d+) kB", text)[1]) / 1024


async def _many(url: str, phones: int, answers: int, pause_s: float) -> tuple[Times, int]:
    times: Times = defaultdict(list)
    limits = httpx2.Limits(max_connections=2 * phones)
    async with httpx2.AsyncClient(base_url=url, timeout=120, limits=limits) as client:
        await client.get("/")
        work = [_phone(client, url, number, answers, pause_s, times) for number in range(phones)]
        errors = sum(await asyncio.gather(*work))
    return times, errors


async def _phone(client: httpx2.AsyncClient, url: str, number: int, answers: int, pause_s: float, times: Times) -> int:
    chance, errors = random.Random(SEED + number), 0

    async def ask(name: str, method: str, address: str, **more: object) -> httpx2.Response:
        nonlocal errors
        begun = time.perf_counter()
        answer = await client.request(method, address, **more)
        times[name].append(time.perf_counter() - begun)
        if answer.status_code >= 400:
            errors += 1
            print(f"{method} {address}: {answer.status_code}", file=sys.stderr)
        return answer

    await asyncio.sleep(chance.random() * pause_s)
    await ask("list", "GET", "/")
    form = await ask("new", "GET", "/cases/new")
    data = {"words": WORDS[number % len(WORDS)], "setup": SETUP, "at": "machine", "tool": TOOLS}
    opened = await ask("open", "POST", "/cases", data=_own(form.text) | data, headers={"origin": url})
    if "location" not in opened.headers:
        return errors
    address = opened.headers["location"]
    page = await ask("case", "GET", address)
    for _ in range(answers):
        await asyncio.sleep(chance.expovariate(1 / pause_s) if pause_s else 0)
        last = re.search(r'name="after" value="(\d+)"', page.text)[1]
        await ask("news", "GET", f"{address}/news?after={last}")
        what = re.search(r'action="(/cases/[^"]*/(?:finding|repair|close))"', page.text)
        if what is None:
            break
        saved = await ask("answer", "POST", what[1], data=_answer(page.text, chance), headers={"origin": url})
        page = await ask("case", "GET", saved.headers.get("location", address))
    return errors


def _own(page: str) -> dict[str, object]:
    found = {}
    for name in ("token", "key", "after", "check", "action", "unit"):
        hidden = re.search(f'name="{name}" value="([^"]*)"', page)
        if hidden:
            found[name] = hidden[1]
    return found


def _answer(page: str, chance: random.Random) -> dict[str, object]:
    outcomes = re.findall(r'name="outcome" value="([^"]*)"', page)
    return _own(page) | (
        {"outcome": outcomes[0] if chance.random() < 0.8 else chance.choice(outcomes)}
        if outcomes
        else {"readings": "1"}
    )
