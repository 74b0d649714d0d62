"""Runs a row of common_practice.toml through the public tasks; each kind of row is one function that says what is wrong."""

import tomllib
from functools import cache, cached_property
from math import log
from pathlib import Path

from tipward import tasks
from tipward.model import Cannot, Finding, Repair, build_path, path_to_data, read_setup

ROOT = Path(__file__).parents[2]
SOURCE = "common practice, no source"
LEAST_SHIFT = 0.05  # nat of log odds: less is no movement
ROWS = [
    {"of": group["of"], "source": group["source"], **row}
    for group in tomllib.loads(Path(__file__).with_name("common_practice.toml").read_text("utf-8"))["group"]
    for row in group["rows"]
]


@cache
def rig(name):
    return path_to_data(read_setup(ROOT / "examples" / f"rig-{name}.toml")) if name else {}


def path_of(row, key="with"):
    data = {
        part: dict(value) if isinstance(value, dict) else value
        for part, value in rig(row.get("rig", "steel-0.9")).items()
    }
    for part, fields in row.get(key, {}).items():
        data.setdefault(part, {}).update(fields)
    return build_path(data)


def entry(said, by="technician"):
    check, _, answer = said.partition("=")
    if answer == "stuck":
        return Finding(check, readings=(float("inf"),), by=by)
    try:
        return Finding(check, readings=(float(answer),), by=by)
    except ValueError:
        return Finding(check, answer, by=by)


class Practice:
    """One shop; every case asked for is opened and judged once."""

    def __init__(self, folder):
        self.shop = tasks.open_shop(folder / "book.db")
        self.views = {}

    @cached_property
    def everywhere(self):
        return tasks.place(self.shop, "machine", "all", "all", True)

    def open(self, path, says, found, done=(), entries=(), place=None):
        case = tasks.open_case(self.shop, path, says, place=place or self.everywhere)
        for item in [*map(entry, found), *map(Repair, done), *entries]:
            case = tasks.add(self.shop, case.id, item)
        return case

    def view(self, path, says=(), found=(), done=(), entries=(), place=None):
        key = (path, tuple(says), tuple(found), tuple(done), tuple(entries), place)
        if key not in self.views:
            case = self.open(*key)
            self.views[key] = tasks.view(self.shop, case.id, explain=False)
        return self.views[key]

    def of(self, row, *more, entries=(), key="with"):
        says = [*row["says"], *([row["said"]] if more and "said" in row else [])]
        found = [*row.get("found", ()), *(item for item in more if item)]
        cannot = (Cannot(row["cannot"]),) if "cannot" in row and not more else ()
        return self.view(path_of(row, key), says, found, row.get("done", ()), (*entries, *cannot))

    def odds(self, view, fault):
        chance = min(max(view.judgement.probability(fault), 1e-9), 1 - 1e-9)
        return log(chance / (1 - chance))

    def lines(self, name, what):
        return [line for line in tasks.look_up(self.shop, name).lines if line.what == what]


def suspects(practice, row):
    ranked = [item.fault for item in practice.of(row).judgement.suspicions[: row.get("top", 3)]]
    assert row["fault"] in ranked, ranked


def unlikely(practice, row):
    chance = practice.of(row).judgement.probability(row["fault"])
    assert chance <= row["most"], chance


def shift(practice, row):
    before, after = practice.of(row), practice.of(row, row.get("then"))
    return practice.odds(after, row["fault"]) - practice.odds(before, row["fault"])


def rises(practice, row):
    moved = shift(practice, row)
    assert moved > LEAST_SHIFT, moved


def falls(practice, row):
    moved = shift(practice, row)
    assert moved < -LEAST_SHIFT, moved


def rises_with(practice, row):
    moved = practice.odds(practice.of(row), row["fault"]) - practice.odds(practice.of(row, key="from"), row["fault"])
    assert moved > LEAST_SHIFT, moved


def weaker_by(practice, row):
    sides = [practice.of(row, entries=(entry(row["then"], by),)) for by in ("customer", "technician")]
    low, high = (practice.odds(view, row["fault"]) for view in sides)
    assert practice.odds(practice.of(row), row["fault"]) + LEAST_SHIFT < low < high - LEAST_SHIFT, (low, high)


def no_evidence(practice, row):
    plain = {key: value for key, value in row.items() if key != "cannot"}
    one, other = practice.of(row).judgement, practice.of(plain).judgement
    assert one.suspicions == other.suspicions


def says_nothing(practice, row):
    moved = shift(practice, row)
    assert abs(moved) < LEAST_SHIFT, moved


def fix(practice, row):
    """The action is offered; a dear one stands behind cheap ones, so there: it clears what is suspected first."""
    view = practice.of(row)
    if row.get("dear"):
        first = view.judgement.suspicions[0]
        assert first.fault in {line.about for line in practice.lines(row["action"], "clears")}, first
        return
    offered = [item.action for item in (view.next_step.fix, *view.fixes) if item is not None]
    assert row["action"] in offered, offered


def now_offered(practice, row):
    return {check for check, _ in tasks.checks_now(practice.shop, practice.of(row).case.id)}


def offers(practice, row):
    assert row["check"] in now_offered(practice, row)


def masks(practice, row):
    tasks.look_up(practice.shop, row["check"])  # it exists, so what is missing was masked
    assert row["check"] not in now_offered(practice, row)


def step(practice, row):
    said = practice.of(row).next_step
    assert said.what == row["step"], said.what


def step_caution(practice, row):
    assert row["caution"] in practice.of(row).next_step.cautions


def not_done(practice, row):
    """After the repair of the victim the case is neither closed nor sent to the proof."""
    view = practice.of(row)
    assert view.next_step.what in {"check", "fix"}, view.next_step.what
    assert 1 - view.judgement.all_clear > 0.2


def phone(practice, row):
    place = tasks.place(practice.shop, "phone", "all", "all", False)
    said = practice.view(path_of(row), row["says"], place=place).next_step
    assert said.what == "check" and "customer" in practice.lines(said.check.check, "done by")[0].value


def no_tools(practice, row):
    bare = tasks.place(practice.shop, "machine", "", "", False)
    said = practice.view(path_of(row), row["says"], place=bare).next_step
    assert said.what == "check" and said.check.tools == ()


def changes(practice, row):
    told = [line.value for line in practice.lines(row["fault"], "changes the path")]
    assert any(value.startswith(row["change"]) for value in told), told


def keeps(practice, row):
    told = practice.lines(row["fault"], "keeps it away")[0].value
    assert row["text"].lower() in told.lower(), told


def how(practice, row):
    told = tasks.look_up(practice.shop, row["id"]).text
    assert row["text"].lower() in told.lower(), told


def outcome(practice, row):
    told = [
        f"{line.what} {line.value}"
        for line in tasks.look_up(practice.shop, row["id"]).lines
        if line.what.startswith(row.get("what", "outcome"))
    ]
    assert any(row["text"].lower() in text.lower() for text in told), told


def caution(practice, row):
    told = {line.about for line in practice.lines(row["id"], "caution")}
    assert row["caution"] in told, told


def tool(practice, row):
    told = {line.value for line in practice.lines(row["id"], "tool")}
    assert row["tool"] in told, told


def all_cautions(practice, row):
    """Every check of the catalogue that is done on jog carries the caution; there are dozens of them."""
    needing = [
        name
        for kind, name, _ in tasks.list_catalogue(practice.shop)
        if kind == "check" and " jog" in tasks.look_up(practice.shop, name).text.lower()
    ]
    lacking = [name for name in needing if row["flag"] not in {line.about for line in practice.lines(name, "caution")}]
    assert len(needing) > 30 and lacking == [], lacking


def success(practice, action, fault):
    return next(line.probability for line in practice.lines(action, "clears") if line.about == fault)


def less_sure(practice, row):
    one, other = (success(practice, row[key], row["fault"]) for key in ("action", "than"))
    assert one < other


def clears(practice, row):
    told = {line.about for line in practice.lines(row["action"], "clears")}
    assert set(row["faults"]) <= told


def may_cause(practice, row):
    assert row["fault"] in {line.about for line in practice.lines(row["action"], "may bring in")}


def leads(practice, row):
    assert row["to"] in {line.about for line in practice.lines(row["fault"], "leads to")}
    assert row["fault"] in {line.about for line in practice.lines(row["to"], "comes from")}


def likelier_false(practice, row):
    one, other = (
        practice.lines(row[key], "said without any listed fault")[0].probability for key in ("complaint", "than")
    )
    assert one > other
