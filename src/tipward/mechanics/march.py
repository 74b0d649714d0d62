"""The march along the wire: push from the tip back to the rolls, or a pull by hand from the spool to the gun."""

from dataclasses import dataclass

import numpy as np

from tipward.mechanics.arrays import Number, Values
from tipward.mechanics.backlash import push_left
from tipward.mechanics.capstan import capstan
from tipward.mechanics.draws import Draws
from tipward.mechanics.route import Leg, legs
from tipward.mechanics.section import bending_stiffness
from tipward.mechanics.spool import back_tension
from tipward.mechanics.tip import cast_pressing, tip_force
from tipward.mechanics.walk import Walk
from tipward.model import FeedPath

PARTS = ("tip", "capstan", "junctions", "helix", "plastic", "weight", "kink", "pull")


@dataclass(frozen=True, slots=True, eq=False)
class March:
    """Force in the wire behind each piece of the way [N]; infinite where it locked up or cannot pass.

    ``parts_n`` is how much each mechanism added, ``straight_margin_1`` the least ratio of lock-up force to force over
    all straights, ``straight_limit_n`` that lock-up force, ``junction_load_1`` the largest ratio of force to the
    validity limit of the junction drag.
    """

    way: tuple[Leg, ...]
    forces_n: tuple[Number, ...]
    push_n: Number
    parts_n: dict[str, Number]
    straight_margin_1: Number
    straight_limit_n: Number
    junction_load_1: Number


def values_of(draws_or_values: Draws | Values) -> Values:
    """Values of draws, or the values themselves.

    Parameters
    ----------
    draws_or_values : Draws or mapping
        Draws, or values by dotted field [SI].

    Returns
    -------
    mapping of str to float or array
        Values by dotted field [SI].

    Raises
    ------
    Nothing.

    Source: design (docs/decisions/0004-common-draws.md).

    >>> values_of({"liner.bore_m": 0.002})
    {'liner.bore_m': 0.002}
    """
    return draws_or_values.values if isinstance(draws_or_values, Draws) else draws_or_values


def tip_hold(values: Values, hot: bool = True) -> Number:
    """Force that holds the wire of this path in its contact tip.

    Parameters
    ----------
    values : mapping of str to float or array
        Values by dotted field [SI].
    hot : bool
        The arc burns: hot bridges hold too.

    Returns
    -------
    float or array
        Force [N]; infinite where the bore is no larger than the wire.

    Raises
    ------
    Nothing.

    Source: own-derivation; bridges: jws-2005-209.

    >>> from tipward.mechanics.draws import draw
    >>> float(np.min(tip_hold(draw(FeedPath(), 64).values))) > 0.2
    True
    """
    get = values.__getitem__
    diameter = get("wire.diameter_m")
    stiffness = bending_stiffness(get("wire.young_pa"), diameter, get("wire.stiffness_factor"))
    clearance = get("contact_tip.bore_m") - diameter
    pressing = cast_pressing(stiffness, get("wire.cast_diameter_m"), clearance, get("contact_tip.length_m"))
    bridges = get("contact_tip.bridge_force_n") if hot else 0.0
    return tip_force(get("contact_tip.friction_1"), pressing, bridges, get("contact_tip.spatter_drag_n"))


def push_force(
    draws_or_values: Draws | Values,
    path: FeedPath,
    hot: bool = True,
    lead: str = "as-is",
    tip: bool = True,
    detail: bool = True,
) -> March:
    """March from the contact tip back to the drive rolls: the push that this path asks.

    Parameters
    ----------
    draws_or_values : Draws or mapping
        Draws, or values by dotted field [SI]; arrays of any shapes that broadcast.
    path : FeedPath
        Route and kind of gun.
    hot : bool
        The arc burns: hot bridges in the tip hold too.
    lead : str
        "as-is", "straight" or "one-loop".
    tip : bool
        The contact tip is fitted.
    detail : bool
        Also keep what each mechanism added and how near each straight came to lock-up; False is faster.

    Returns
    -------
    March
        Force behind every piece [N]; infinite where the wire locks up or cannot pass.

    Raises
    ------
    Nothing.

    Source: docs/explanation/feed-force.md (own-derivation, euler-eytelwein, wicks-2008).

    >>> from tipward.mechanics.draws import draw
    >>> float(np.median(push_force(draw(FeedPath()), FeedPath()).push_n)) > 1
    True
    """
    values = values_of(draws_or_values)
    hold = np.asarray(tip_hold(values, hot) if tip else 0.0)
    way = legs(path, values, lead)
    with np.errstate(all="ignore"):
        walk = Walk(hold, values, pushed=True, detail=detail)
        walk.note("tip", hold)
        walk.along(way[0])
        forces: list[Number] = [walk.force]
        if path.gun.kind == "push-pull":
            walk.keep("pull", push_left(walk.force, values["gun.pull_force_n"]))
        for leg in way[1:]:
            walk.along(leg)
            forces.append(walk.force)
        walk.turn_into(0.0)
        walk.block()
    parts = {name: walk.parts[name] for name in PARTS if name in walk.parts}
    return March(way, (hold, *forces), walk.force, parts, walk.margin, walk.limit, walk.load)


def spool_tension(draws_or_values: Draws | Values) -> Number:
    """Pull that spool and hub ask of the wire.

    Parameters
    ----------
    draws_or_values : Draws or mapping
        Draws, or values by dotted field [SI].

    Returns
    -------
    float or array
        Brake torque over take-off radius, rub and snag [N].

    Raises
    ------
    Nothing.

    Source: statics (docs/explanation/feed-force.md).

    >>> from tipward.mechanics.draws import draw
    >>> bool(np.all(spool_tension(draw(FeedPath())) > 0))
    True
    """
    values = values_of(draws_or_values)
    brake = back_tension(values["spool.brake_torque_n_m"], values["spool.take_off_radius_m"])
    return brake + values["spool.rub_drag_n"] + values["spool.snag_drag_n"]


def back_force(draws_or_values: Draws | Values) -> Number:
    """Tension behind the rolls: the spool's pull, amplified by the inlet guide.

    Parameters
    ----------
    draws_or_values : Draws or mapping
        Draws, or values by dotted field [SI].

    Returns
    -------
    float or array
        Force that the rolls pull besides the push [N].

    Raises
    ------
    Nothing.

    Source: euler-eytelwein.

    >>> from tipward.mechanics.draws import draw
    >>> draws = draw(FeedPath())
    >>> bool(np.all(back_force(draws) > spool_tension(draws)))
    True
    """
    values = values_of(draws_or_values)
    return capstan(spool_tension(values), values["inlet_guide.friction_1"], values["inlet_guide.turning_rad"])


def pull_force(
    draws_or_values: Draws | Values, path: FeedPath, lead: str = "as-is", tip: bool = True, spool: bool = True
) -> Number:
    """March in tension from the spool to the gun: what a spring scale reads there, rolls open.

    Parameters
    ----------
    draws_or_values : Draws or mapping
        Draws, or values by dotted field [SI]; arrays of any shapes that broadcast.
    path : FeedPath
        Route of the lead.
    lead : str
        "as-is", "straight" or "one-loop".
    tip : bool
        The contact tip is fitted.
    spool : bool
        The wire comes off the spool; False where it lies loose before the inlet guide.

    Returns
    -------
    float or array
        Pull at the gun [N]; no helix in tension; cold, so no bridges in the tip.

    Raises
    ------
    Nothing.

    Source: docs/explanation/feed-force.md (own-derivation, euler-eytelwein).

    >>> from tipward.mechanics.draws import draw
    >>> draws = draw(FeedPath())
    >>> bool(np.all(pull_force(draws, FeedPath()) > pull_force(draws, FeedPath(), tip=False)))
    True
    """
    values = values_of(draws_or_values)
    way = legs(path, values, lead)
    with np.errstate(all="ignore"):
        walk = Walk(np.asarray(back_force(values) if spool else 0.0), values, pushed=False, detail=False)
        for leg in reversed(way):
            walk.along(leg)
        walk.turn_into(0.0)
        walk.block()
        return walk.force + (tip_hold(values, hot=False) if tip else 0.0)
