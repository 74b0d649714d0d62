"""Nouns built by hand for the tests of reports: an invented workshop, figures of the invented path, none measured."""

from dataclasses import dataclass, replace
from datetime import UTC, datetime

from tipward.model import (
    Band,
    CardWords,
    Case,
    CaseView,
    Closed,
    Explanation,
    FeedPath,
    Finding,
    Fit,
    ForceBudget,
    Judgement,
    Limit,
    Mismatch,
    NextCheck,
    NextStep,
    Opened,
    OutcomeForecast,
    Page,
    Place,
    Proof,
    ProofTarget,
    ProofTest,
    Repair,
    StationForce,
    Suspicion,
    build_path,
)

PATH: FeedPath = build_path(
    {
        "name": "bench one",
        "wire": {"diameter": "0.9 mm", "wire_class": "er70s-6"},
        "drive_rolls": {"groove": "v", "groove_size": "0.9 mm", "pairs": 1},
        "liner": {"material": "steel", "bore": "2.0 mm"},
        "torch_lead": {"length": "4 m", "turns": 1, "turn_radius": "150 mm"},
        "contact_tip": {"marked_size": "0.9 mm", "bore": "1.05 mm"},
    }
)

ROUTE = [{"length": "1 m"}, {"radius": "0.5 m", "turning": "90 deg"}, {"radius": "0.1 m", "turning": "180 deg"}]
PATHS = {
    "reference": PATH,
    "unknown": FeedPath(),
    "routed": build_path({"torch_lead": {"length": "3 m", "route": ROUTE}}),
    "two loops": build_path({"torch_lead": {"length": "4 m", "turns": 2, "turn_radius": "150 mm"}}),
    "short": build_path({"gun": {"kind": "spool gun"}, "torch_lead": {"length": "0.3 m"}}),
    "long": build_path({"torch_lead": {"length": "15 m", "turns": 3}}),
}


def band(mid: float, spread: float = 1.5) -> Band:
    return Band(mid / spread, mid, mid * spread)


def budget(times: float = 1.0, length: float = 4.0) -> ForceBudget:
    walked = (
        ("contact-tip", "tip", 0.0, 1.5),
        ("neck", "neck", 0.065, 1.7),
        ("torch-lead", "straight", 1.5, 1.8),
        ("torch-lead", "loop", 2.45, 9.0),
        ("torch-lead", "bend", 3.2, 11.5),
        ("drive-rolls", "rolls", 4.0, 12.7),
    )
    limits = (
        Limit("slip", "drive-rolls", band(41), band(3.2 / times), 0.02),
        Limit("collapse", "outlet-guide", band(38, 1.3), band(3.0 / times), 0.01),
        Limit("lock-up", "torch-lead", band(300), band(23 / times), 0.0),
        Limit("crush", "drive-rolls", band(44, 1.2), band(3.4 / times), 0.01),
        Limit("motor", "drive", band(150, 1.2), band(12 / times), 0.0),
    )
    stations = tuple(StationForce(a, b, c * length / 4, band(d * times)) for a, b, c, d in walked)
    return ForceBudget(
        band(12.7 * times), stations, limits, "collapse", band(0.0037), 0.0, (), "liner.friction_1", band(3.0),
        (), (), 512, 1, ("own-derivation", "judgement"),
    )  # fmt: skip


SUSPICIONS = {
    "wire": 0.03,
    "spool": 0.06,
    "inlet-guide": 0.01,
    "drive": 0.004,
    "drive-rolls": 0.33,
    "outlet-guide": 0.02,
    "liner": 0.71,
    "torch-lead": 0.28,
    "neck": 0.02,
    "contact-tip": 0.12,
    "nozzle": 0.01,
    "trigger": 0.001,
    "welding-circuit": 0.05,
    "settings": 0.03,
}

BEFORE = Judgement(
    (
        Suspicion("liner-dirty", "liner clogged with dust", "liner", 0.93),
        Suspicion("lead-tight-loops", "torch lead in tight loops", "torch-lead", 0.88),
        Suspicion("pressure-low", "roll pressure too low", "drive-rolls", 0.16),
        Suspicion("tip-worn", "contact tip worn oval", "contact-tip", 0.07),
    ),
    (Explanation(("liner-dirty", "lead-tight-loops"), 0.74), Explanation(("liner-dirty",), 0.11)),
    0.001,
    (),
    0.012,
    "exact",
)
AFTER = Judgement(
    (
        Suspicion("tip-worn", "contact tip worn oval", "contact-tip", 0.009),
        Suspicion("liner-dirty", "liner clogged with dust", "liner", 0.004),
    ),
    (Explanation((), 0.98),),
    0.982,
    (),
    0.004,
    "exact",
)
TARGETS = (
    ProofTarget("complaint-gone", "the complaint is gone with the lead as it lies", "", None, None, (1.0,), True),
    ProofTarget(
        "feed-ratio",
        "wire per roll turn in use against torch off, 20 turns",
        "1",
        0.98,
        1.02,
        (0.991, 0.994, 0.992),
        True,
    ),
    ProofTarget("pull", "pull through the torch, rolls open, tip on", "N", 3.1, 9.8, (6.4,), True),
    ProofTarget("grip", "rolls slip at twice the drag or more", "N", 12.8, None, (31.0,), True),
)
WORDS = CardWords(
    checks={
        "look-lead-lie": "Look how the torch lead lies",
        "pull-tip-off": "Pull the wire through the torch, rolls open, tip off",
        "white-cloth": "Draw a metre of wire through a white cloth",
        "swap-tip": "Fit a new contact tip",
    },
    outcomes={
        "look-lead-lie": {"tight": "two loops tighter than a dinner plate"},
        "white-cloth": {"dust": "grey dust and copper flakes"},
        "swap-tip": {"same": "no change"},
    },
    units={"pull-tip-off": "N"},
    actions={"liner-replace": "Replace the liner", "lead-lay-out": "Lay the torch lead out in wide curves"},
    complaints={"slips-or-surges": "wire slips or surges", "only-when-lead-bent": "only when the lead is bent"},
    cautions={
        "live-wire": "Wire, spool and rolls are live while the trigger is on.",
        "jog-only": "Run wire by the jog switch only; it is usually dead: verify, never assume.",
        "power-off": "Power off before parts are changed in the wire compartment.",
        "eyes": "Eye protection whenever wire is cut, threaded or pulled.",
        "wire-end": "Never point the gun at anyone; never look into the tip.",
        "local-codes": "Local codes and licensed practice come first.",
    },
    prevention={
        "liner-dirty": "Blow the liner out at every change of spool; bag the spool when the machine is idle.",
        "lead-tight-loops": "Hang the torch lead on a wide hook, never over a nail.",
    },
    cautions_of={
        "pull-tip-off": ("eyes", "wire-end"),
        "liner-replace": ("power-off", "eyes", "live-wire"),
        "swap-tip": ("jog-only",),
    },
    sources_of={"pull-tip-off": ("common-practice",), "liner-dirty": ("judgement",), "unused": ("memory",)},
)


def case(
    customer: str = "M. Okafor", said: str = "runs fine on the floor, jerks when I weld up on the trailer"
) -> Case:
    entries = (
        Opened(PATH, ("slips-or-surges", "only-when-lead-bent"), Place(), said, "bench-one", customer),
        Finding("look-lead-lie", "tight"),
        Finding("swap-tip", "same", by="customer"),
        Finding("pull-tip-off", readings=(24.0, 26.5)),
        Finding("white-cloth", "dust", note="first two metres"),
        Repair("lead-lay-out", 4.0),
        Repair("liner-replace", 18.0, 22.50, note="cut to length at the gun end"),
        ProofTest((("pull", (6.4,)),)),
        Closed("proved"),
    )
    pages = tuple(
        Page(n, f"k{n}", datetime(2026, 3, 2, 9, 10 + 3 * n, tzinfo=UTC), entry) for n, entry in enumerate(entries, 1)
    )
    return Case("2026-031", pages)


def view(of: Case | None = None) -> CaseView:
    proof = Proof(TARGETS, True, AFTER.suspicions, 0.017, (), ("a cracked control lead would not have shown here",))
    return CaseView(of or case(), AFTER, NextStep("close", "every target is met"), (), proof)


def open_view() -> CaseView:
    """The same case on its second page: nothing done, nothing proved."""
    targets = tuple(replace(target, readings=(), met=None) for target in TARGETS)
    proof = Proof(targets, False, BEFORE.suspicions, 0.999, ("pull", "grip"))
    early = Case("2026-031", case().pages[:2])
    return CaseView(early, BEFORE, NextStep("check", "tells the liner from the lead"), (), proof)


FIT = Fit(
    (
        Mismatch(
            "liner-bore-large", "liner", "liner bore 2.0 mm for 0.9 mm wire", "the wire snakes in a wide liner",
            "fit a liner of about 1.5 mm bore", "common practice", "common-practice",
        ),
    ),
    ("rolls: V groove 0.9 mm suits solid steel wire", "tip: bore 1.05 mm suits 0.9 mm wire"),
    ("polarity: not stated",),
    ("common-practice", "memory"),
)  # fmt: skip

CHECKS = (
    NextCheck(
        "look-lead-lie", "Look how the torch lead lies", "torch-lead",
        "Follow the lead from machine to gun. Count full loops and judge the tightest.",
        "tight loops multiply the push", 1.0, 0.4, (), (),
        (OutcomeForecast("wide", "straight or in wide curves", 0.4), OutcomeForecast("tight", "tight loops", 0.6)),
    ),
    NextCheck(
        "pull-tip-off", "Pull the wire through the torch, rolls open, tip off", "liner",
        "Open the rolls, take the tip off, hook a spring scale to the wire at the gun and draw a hand's length.",
        "tells the drag of liner and lead apart from the tip", 4.0, 0.9, ("spring scale",),
        ("eyes",), (),
        "pull-through-torch", "N", ("rolls open", "tip off"), Band(5.0, 11.0, 28.0),
    ),
)  # fmt: skip


@dataclass(frozen=True)
class Line:
    """Stands for a line of tipward.model.Recommended."""

    line: str
    text: str
    reason: str
    grade: str = "common practice"
    source: str = "common-practice"


@dataclass(frozen=True)
class Lines:
    lines: tuple[Line, ...]


ADVICE = Lines(
    (
        Line("groove", "smooth V, 0.9 mm", "groove and wire the same size"),
        Line(
            "liner",
            "steel spiral, bore about 1.5 to 2.0 mm",
            "the smaller bore first where two would do",
            "memory",
            "memory",
        ),
        Line("tip", "bore 1.0 to 1.15 mm, not made for aluminium", "a hot wire needs room; too much wanders"),
        Line("polarity", "electrode positive", "solid wire burns evenly so"),
        Line("torch lead", "3 to 4 m, no loop tighter than 300 mm across", "tight loops cost more than length"),
        Line(
            "pressure", "just enough that the wire bends on against wood", "more flattens the wire and fills the liner"
        ),
        Line("brake", "stops the spool without coasting, no more", "a tight brake drags as the spool empties"),
    )
)
