"""The thread of the first issue for tests: its catalogue, its rig, and cases out of plain entries."""

from datetime import UTC, datetime
from pathlib import Path

from tipward.faults import build_catalogue
from tipward.model import Case, Opened, Page, Place, build_path

HERE = Path(__file__).parent
CATALOGUE = build_catalogue([("thread.toml", (HERE / "thread.toml").read_text("utf-8"))])
RIG = build_path(
    {
        "name": "thread rig",
        "wire": {"wire_class": "er70s-6", "diameter": "0.9 mm"},
        "liner": {"material": "steel", "bore": "2.0 mm"},
        "torch_lead": {"length": "4 m", "turns": 0.5, "turn_radius": "250 mm"},
        "contact_tip": {"bore": "1.05 mm"},
    }
)
OPENED = Opened(RIG, ("slips",), Place("machine", ("spring scale",)))


def case_of(*entries, opened=OPENED, case_id="thread"):
    """A case whose pages hold these entries in order, after its first page."""
    pages = [
        Page(number, f"key-{number}", datetime(2026, 3, 1, 8, number % 60, tzinfo=UTC), entry)
        for number, entry in enumerate((opened, *entries), 1)
    ]
    return Case(case_id, tuple(pages))


def wider_catalogue():
    """The thread beside ten more faults: more fault sets than are listed, so they are sampled."""
    return build_catalogue(
        [("thread.toml", (HERE / "thread.toml").read_text("utf-8")), ("more.toml", "".join(map(_other, range(10))))]
    )


def _other(number):
    return f"""
[[fault]]
id = "other-{number}"
station = "wire"
name = "Other {number}"
why = "test"
prior = 0.0{number % 5 + 1}
prior_reason = "test"
complaints = {{ slips = 0.{number % 7 + 1} }}
shown_by = {{ look-dust = {{ some = 0.2 }} }}
seen_by_proof = 0.9
prevention = "test"

[[action]]
id = "mend-{number}"
station = "wire"
name = "Mend {number}"
kind = "adjust"
instructions = "test"
minutes = {{ low = 1.0, mode = 2.0, high = 3.0 }}
clears = [{{ fault = "other-{number}", success = 0.9 }}]
"""
