"""Take the screenshots of every page anew: ``python docs/make_screenshots.py`` (needs Debian's chromium and playwright).

The workshop, its rigs and its cases are invented. A page that no longer opens, or writes an error to the console, fails.
"""

import io
import json
import shutil
import socket
import sys
import tempfile
import threading
import time
from datetime import timedelta
from pathlib import Path
from typing import Literal

import uvicorn
from PIL import Image
from playwright.sync_api import Browser, Page, sync_playwright

from tipward import tasks
from tipward.cli.answers import read_answers, run_answers
from tipward.model import Cannot, Finding, Repair, now, read_setup
from tipward.web import create_app, hash_password
from tipward.web.links import path_of
from tipward.web.visitor import token_hash

HERE = Path(__file__).parent
EXAMPLES, FOLDER = HERE.parent / "examples", HERE / "screenshots"
PHONE, DESKTOP = {"width": 360, "height": 740}, {"width": 1280, "height": 900}
COLOURS, TALLEST_PX = 96, 4000
PASSWORD = "only for the pictures"


def main() -> None:
    """Make the invented workshop, serve it, and look at every page."""
    chromium = shutil.which("chromium") or sys.exit("no chromium: apt-get install chromium")
    FOLDER.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        shop = tasks.open_shop(Path(folder) / "book.db")
        pages = workshop(shop)
        browser = playwright.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        look(browser, serve(shop), pages)
        tasks.add_account(shop, "alex", hash_password(PASSWORD), "owner")
        look_at_people(browser, serve(shop, lan=True))
        browser.close()


def workshop(shop: tasks.Shop) -> dict[str, str]:
    """Rigs and cases of Harbour Lane; the name of each picture and the page it shows."""
    steel, soft = (read_setup(EXAMPLES / name) for name in ("rig-steel-0.9.toml", "rig-aluminium-1.2.toml"))
    bay = tasks.save_rig(shop, "Bay 3", steel, "Harbour Lane")
    tasks.save_rig(shop, "Bay 5, aluminium", soft, "Harbour Lane")
    tasks.save_baseline(shop, bay.id, {"pull-torch-straight": [9.0, 10.0]})
    place = tasks.place(shop, "machine", "spring scale, torch light, pliers", "", qualified=False)
    words = "It stutters, and burns back when the lead is bent"
    fresh = tasks.open_case(shop, steel, (), words, place, bay.id, "Harbour Lane")
    going = carried_on(shop, tasks.open_case(shop, steel, (), words, place, bay.id, "Harbour Lane").id, 6)
    fixing = until_a_fix(shop, tasks.open_case(shop, steel, (), "it burns back", place, bay.id).id)
    proved = [led(shop, story) for story in sorted(EXAMPLES.glob("case-*.json"))]
    ended = tasks.open_case(shop, soft, (), "nest at the rolls", place, "", "Quay Street").id
    tasks.close_case(shop, ended, "The customer took the machine away")
    measured = next(key for key, _ in tasks.checks_now(shop, fresh.id) if tasks.unit_of_check(shop, key) == "N")
    return {
        "cases": "/",
        "new-case": f"/cases/new?rig={bay.id}",
        "case": f"/cases/{fresh.id}",
        "case-later": f"/cases/{going}?saved=8",
        "case-fix": f"/cases/{fixing}",
        "case-measured": f"/cases/{fresh.id}/check/{measured}",
        "case-ended": f"/cases/{ended}",
        "checks": f"/cases/{fresh.id}/checks",
        "move": f"/cases/{fresh.id}/move",
        "proof": f"/cases/{fixing}/proof",
        "rigs": "/rigs",
        "rig": f"/rigs/{bay.id}",
        "rig-form": f"/rigs/{bay.id}/edit",
        "set-up": f"/rigs/{bay.id}/set-up?lead=3+m&turns=0",
        "change-of-wire": f"/rigs/{bay.id}/wire?wire_class=er5356&diameter=1.2+mm",
        "route": f"/route?rig={bay.id}&length=4+m&turns=1&radius=150+mm",
        "label": f"/rigs/{bay.id}/label",
        "with-customer": f"/cases/{fresh.id}/customer",
        "questions-from-afar": handed(shop, fresh.id, "remote"),
        "case-proved": f"/cases/{proved[-1]}",
        "report": handed(shop, proved[-1], "report"),
        "learned": "/learned",
        "lessons": "/lessons",
    }


def led(shop: tasks.Shop, story: Path) -> str:
    """A case of the invented workshop, from complaint to proof, by its answers."""
    said = json.loads(story.read_text("utf-8"))
    path, place = read_setup(EXAMPLES / said["rig"]), tasks.place(shop, "machine", "all", "all", qualified=False)
    case = tasks.open_case(shop, path, (), said["says"], place, path.name, said["customer"])
    return run_answers(shop, case, read_answers(EXAMPLES / said["answers"]), quiet=True).id


def handed(shop: tasks.Shop, case_id: str, kind: Literal["remote", "report"]) -> str:
    """A link as a customer gets it."""
    token = kind * 6
    tasks.make_link(shop, case_id, kind, token_hash(token), now() + timedelta(days=7))
    return path_of(kind, token)


def carried_on(shop: tasks.Shop, case_id: str, steps: int) -> str:
    """Answer some checks, the third one as something that cannot be done here."""
    for number in range(steps):
        step = tasks.view(shop, case_id, explain=False).next_step
        if step.check is None or step.check.reading:
            break
        outcome = step.check.outcomes[number % 2].outcome
        entry = Cannot(step.check.check, "no key for it") if number == 2 else Finding(step.check.check, outcome)
        tasks.add(shop, case_id, entry, author="alex")
    return case_id


def until_a_fix(shop: tasks.Shop, case_id: str) -> str:
    """Find whatever is not normal until something is to be mended."""
    for _ in range(25):
        step = tasks.view(shop, case_id, explain=False).next_step
        if step.check is None:
            if step.fix is None:
                tasks.add(shop, case_id, Repair(tasks.view(shop, case_id).fixes[0].action))
            break
        if step.check.reading:
            tasks.add(shop, case_id, Cannot(step.check.check))
        else:
            tasks.add(shop, case_id, Finding(step.check.check, step.check.outcomes[-1].outcome))
    return case_id


def serve(shop: tasks.Shop, lan: bool = False) -> str:
    """Serve from a thread of this program; gives back the address."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    server = uvicorn.Server(uvicorn.Config(create_app(shop, lan), port=port, log_level="error", lifespan="off"))
    threading.Thread(target=server.run, daemon=True).start()
    while not server.started:
        time.sleep(0.02)
    return f"http://127.0.0.1:{port}"


def look(browser: Browser, url: str, pages: dict[str, str]) -> None:
    """Every page on a phone in light and dark, and on a desk."""
    for size, viewport, scheme in (
        ("phone", PHONE, "light"),
        ("phone-dark", PHONE, "dark"),
        ("desk", DESKTOP, "light"),
    ):
        page = visitor(browser, url, viewport, scheme)
        for name, address in pages.items():
            page.goto(address)
            picture(page, f"{name}-{size}")
        page.context.close()


def look_at_people(browser: Browser, url: str) -> None:
    """The sign-in, and who may come in."""
    page = visitor(browser, url, PHONE, "light")
    page.goto("/people")
    picture(page, "sign-in-phone")
    page.get_by_label("Name").fill("alex")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_selector("h1")
    page.goto("/people")
    picture(page, "people-phone")
    page.context.close()


def visitor(browser: Browser, url: str, viewport: dict[str, int], scheme: str) -> Page:
    """A page whose console is watched."""
    context = browser.new_context(base_url=url, viewport=viewport, color_scheme=scheme, reduced_motion="reduce")  # type: ignore[arg-type]
    page = context.new_page()
    page.on("console", lambda said: sys.exit(f"{page.url}: {said.text}") if said.type == "error" else None)
    return page


def picture(page: Page, name: str) -> None:
    """Keep what is seen, in few colours so that the folder stays small."""
    seen = Image.open(io.BytesIO(page.screenshot(full_page=True))).convert("RGB")
    seen = seen.crop((0, 0, seen.width, min(seen.height, TALLEST_PX)))
    seen.quantize(COLOURS).save(FOLDER / f"{name}.png", optimize=True)


if __name__ == "__main__":
    main()
