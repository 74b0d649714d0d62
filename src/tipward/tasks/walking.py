"""A change of wire as an ordered walk: old wire out, parts, thread with the jog, set, measure the healthy baseline."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

from tipward.matching import fit as fit_of
from tipward.mechanics import feed_force
from tipward.model import BaselineReading, ChangeLine, FeedPath, WalkStep, WireWalk
from tipward.tasks.baselines import judge_baseline
from tipward.tasks.changing import changed, lines_of, planned
from tipward.tasks.shop import Shop
from tipward.tasks.what_if import DRAWS, with_wire


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage of every change: what to do, and the catalogue entry whose cautions hold for it (as far as it has any)."""

    id: str
    title: str
    instructions: str
    like: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    measures: bool = False


# The order is common practice: everything that needs the power off comes before the first jog, tip last so that it is not
# threaded through, pulls while the rolls are open anyway. A step that names a check is that check of the catalogue.
STAGES = (
    Stage(
        "ready",
        "Power off, parts at hand",
        "Switch off, pull the plug, let the gun cool. Lay out what must change. Read the label of the new spool: class "
        "and diameter as planned?",
        ("fit-new-tip",),
        ("power-off", "hot"),
    ),
    Stage(
        "old-wire",
        "Old wire out",
        "Nozzle and tip off. Open the pressure arm, hold the wire end, cut it behind the rolls, draw the piece out at the "
        "gun and look at its whole length. Secure the end on the old spool, take it off, bag it dry.",
        ("rethread-wire",),
        ("power-off", "spool-spring", "wire-end", "eyes"),
    ),
    Stage(
        "lead",
        "Torch lead straight",
        "Lay the torch lead out straight on the floor; it stays so until the wire is through.",
        ("straighten-lead",),
    ),
    Stage(
        "rolls",
        "Drive rolls",
        "Brush rolls and tray out. Fit, turn or keep the rolls as named here; look which stamp belongs to which groove. Every "
        "roll of every pair alike, locked and in line.",
        ("fit-right-rolls", "clean-rolls"),
    ),
    Stage(
        "guides",
        "Guides",
        "Fit or keep the inlet and outlet guide as named here, the outlet guide as close to the nip as it goes.",
        ("fit-inlet-guide", "fit-outlet-guide"),
    ),
    Stage(
        "liner",
        "Liner",
        "A liner that stays is blown out from the gun end onto white paper. A new one: compare it with the old one, slide "
        "it in without a kink to its stop, trim the gun end to the torch maker's length, dress it open, nip up the clamp.",
        ("replace-liner", "blow-out-liner"),
        ("no-spray", "air-blow"),
    ),
    Stage(
        "spool",
        "New spool on the hub",
        "Seat the spool on its drive peg, nut hand tight without end play. Ease the brake until the spool runs on, then "
        "tighten in quarter turns until it just stops with the wire.",
        ("replace-spool", "set-brake", "seat-spool-on-peg"),
    ),
    Stage(
        "circuit",
        "Polarity and gas",
        "Still unplugged: connect the torch and the work lead for the polarity named here, plugs tight. Connect the gas named here.",
        ("set-polarity", "change-gas"),
    ),
    Stage(
        "thread",
        "Thread with the jog, tip off",
        "Cut the end clean and round it. Lead it by hand through guides, groove and into the liner, close the arm. Power "
        "on; run it through with the jog switch, never the trigger (verify that jog is dead), gun end clear of face, "
        "people and earthed metal. Stop when it stands out of the neck.",
        ("rethread-wire",),
        ("jog-only", "live-wire", "wire-end", "eyes", "nip"),
    ),
    Stage(
        "clamp",
        "Roll pressure",
        "Begin with the least pressure that feeds. Hold the free wire lightly in a gloved hand, well clear of the rolls: "
        "it runs smooth. Rolls turn while the wire halts: too little. Flats on the wire: too much.",
        ("set-pressure",),
        ("jog-only", "live-wire", "wire-end", "eyes", "nip"),
    ),
    Stage("pull-torch-one-loop", "Healthy baseline: pull in one loop", "", measures=True),
    Stage(
        "tip",
        "Contact tip and nozzle",
        "Power off. Read the mark of the tip against the spool label, look at its seat in the diffuser, screw it in over the "
        "wire, tighten it with the tool. Brush the nozzle and fit it.",
        ("fit-new-tip",),
        ("power-off", "hot", "eyes", "wire-end"),
    ),
    Stage("pull-torch-straight", "Healthy baseline: pull straight", "", measures=True),
    Stage("measure-feed-ratio", "Healthy baseline: wire per turn of the roll", "", measures=True),
)


def walk_wire(shop: Shop, path: FeedPath, new: FeedPath) -> WireWalk:
    """Plan a change of wire as a walk: every part with its reason, every step in order with its cautions, the baseline.

    Parameters
    ----------
    shop : Shop
        The shop, for cautions and checks of its catalogue.
    path : FeedPath
        The path as it is, with the old wire.
    new : FeedPath
        The new set-up: its wire, and those parts that are already chosen; what it leaves out is recommended.

    Returns
    -------
    WireWalk
        Steps with their parts, the path afterwards, push [N] before, with the parts kept, and after.

    Raises
    ------
    InputError
        The new set-up does not say class and diameter of its wire, or the class is not known.

    Source: the tables named in the lines; order: common practice; push: docs/explanation/feed-force.md.

    >>> import tempfile
    >>> from tipward.model import Wire
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(tempfile.mkdtemp() + "/book.db")
    >>> walk = walk_wire(shop, FeedPath(wire=Wire("er70s-6", 0.0009)), FeedPath(wire=Wire("er4043", 0.0012)))
    >>> walk.steps[0].id, walk.steps[-1].id
    ('ready', 'measure-feed-ratio')
    """
    after = changed(planned(path, new))
    lines = tuple(lines_of(path, after))
    measured = {item.check: item for item in judge_baseline(shop, after)}
    steps = tuple(_step(shop, stage, lines, measured.get(stage.id)) for stage in STAGES)
    before, kept, then = (
        feed_force(one, n=DRAWS, extrapolate=True).push_n for one in (path, with_wire(path, new.wire), after)
    )
    return WireWalk(path, after, steps, before, kept, then, fit_of(after).mismatches)


def _step(
    shop: Shop, stage: Stage, lines: Iterable[tuple[str, ChangeLine]], measured: BaselineReading | None
) -> WalkStep:
    own = tuple(line for step, line in lines if step == stage.id)
    if measured is not None:
        check = shop.catalogue.check(stage.id)
        return WalkStep(stage.id, stage.title, check.instructions, check.cautions, own, measured, check.tools)
    known = [shop.catalogue.actions[name] for name in stage.like if name in shop.catalogue.actions]
    cautions = dict.fromkeys([*stage.cautions, *(caution for action in known for caution in action.cautions)])
    return WalkStep(stage.id, stage.title, stage.instructions, tuple(cautions), own)


def path_after(walk: WireWalk, undone: Iterable[str]) -> FeedPath:
    """The path when some steps of a walk could not be done: their parts are as they were.

    Parameters
    ----------
    walk : WireWalk
        The walk.
    undone : iterable of str
        Ids of the steps that were not done.

    Returns
    -------
    FeedPath
        With the new wire on.

    Raises
    ------
    Nothing.

    Source: design.

    >>> import tempfile
    >>> from tipward.model import Wire
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(tempfile.mkdtemp() + "/book.db")
    >>> walk = walk_wire(shop, FeedPath(wire=Wire("er70s-6", 0.0009)), FeedPath(wire=Wire("er4043", 0.0012)))
    >>> path_after(walk, ["liner"]).liner.material is None
    True
    """
    old = with_wire(walk.before, walk.after.wire)
    parts: dict[str, dict[str, Any]] = {
        "rolls": {"drive_rolls": old.drive_rolls},
        "liner": {"liner": old.liner},
        "lead": {"torch_lead": old.torch_lead, "gun": old.gun},
        "circuit": {"welding_circuit": old.welding_circuit, "settings": old.settings},
        "tip": {"contact_tip": old.contact_tip},
    }
    left = {name: part for step in undone for name, part in parts.get(step, {}).items()}
    return replace(walk.after, **left)
