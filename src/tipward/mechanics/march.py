"""The march along the wire: push from the tip back to the rolls, or a pull by hand from the spool to the gun."""

from dataclasses import dataclass

import numpy as np

from tipward.mechanics.arrays import Floats, Number, Values
from tipward.mechanics.backlash import push_left
from tipward.mechanics.capstan import capstan
from tipward.mechanics.draws import Draws
from tipward.mechanics.helix import full_helix_force, helical_contact, helix_pitch, lock_up_force
from tipward.mechanics.junction import junction_length, junction_normal, junction_validity
from tipward.mechanics.route import Leg, legs
from tipward.mechanics.section import (
    bending_stiffness,
    elastic_radius,
    plastic_bending_drag,
    plastic_moment,
    wire_weight,
)
from tipward.mechanics.spool import back_tension
from tipward.mechanics.tip import cast_pressing, tip_force
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


class _Walk:
    """A wire on its way: its section, the liner, and the force so far."""

    def __init__(self, force: Floats, values: Values, pushed: bool) -> None:
        self.force, self.values, self.pushed = force, values, pushed
        self.parts: dict[str, Number] = {}
        self.curvature: Number = 0.0
        self.margin: Number = np.inf
        self.limit: Number = np.inf
        self.load: Number = 0.0
        get = values.__getitem__
        young, limit, diameter = get("wire.young_pa"), get("wire.yield_pa"), get("wire.diameter_m")
        self.metal = young, limit, diameter, hole_of(values)
        self.stiffness = bending_stiffness(young, diameter, get("wire.stiffness_factor"))
        self.moment = plastic_moment(limit, diameter, self.metal[3])
        self.weight = wire_weight(get("wire.density_kg_per_m3"), diameter)
        self.friction = get("liner.friction_1")
        clearance = np.asarray(get("liner.bore_m") - diameter)
        self.stuck = clearance <= 0
        self.clearance = np.where(self.stuck, 1.0, clearance) if self.stuck.any() else clearance

    def add(self, part: str, force: Number) -> None:
        self.parts[part] = self.parts.get(part, 0.0) + force
        self.force = self.force + force

    def along(self, leg: Leg) -> None:
        if leg.radius_m is None:
            if np.any(leg.length_m):
                self.turn_into(0.0)
                self.straight(leg.length_m)
        elif np.any(leg.turning_rad):
            self.bend(leg.radius_m, leg.turning_rad)
        if np.any(leg.drag_n):
            self.add("kink", leg.drag_n)

    def bend(self, radius: Number, turning: Number) -> None:
        wanted = 1.0 / np.asarray(radius)
        length = junction_length(self.clearance, np.abs(wanted - self.curvature))
        # a bend shorter than the junction takes the wire only part of the way
        taken = np.minimum(radius * turning / length, 1.0)
        self.turn_into(self.curvature + (wanted - self.curvature) * taken)
        self.keep("capstan", capstan(self.force, self.friction, turning))
        young, limit, diameter, hole = self.metal
        if np.any(np.asarray(radius) < elastic_radius(young, limit, diameter)):
            self.add("plastic", taken * plastic_bending_drag(young, limit, diameter, radius, hole))

    def turn_into(self, curvature: Number) -> None:
        """Drag where the conduit changes its curvature; uncertain where the push nears the wire's own buckling."""
        step = np.abs(curvature - self.curvature)
        self.curvature = curvature
        if not np.any(step):
            return
        drag = self.friction * junction_normal(self.stiffness, self.clearance, step, self.moment)
        if self.pushed:
            load = np.maximum(self.force, 0.0) / junction_validity(self.stiffness, self.clearance, step)
            self.load = np.maximum(self.load, np.where(step > 0, load, 0.0))
            doubt = self.values.get("mechanics.junction_factor_1", 1.0) - 1.0
            drag = drag * (1 + doubt * np.minimum(load, 1.0))
        self.add("junctions", np.where(step > 0, drag, 0.0))

    def straight(self, length: Number) -> None:
        lain = self.force + self.friction * self.weight * length
        if not self.pushed:
            return self.keep("weight", lain)
        radial = self.clearance / 2
        winds = self.force > full_helix_force(self.stiffness, self.weight, radial)
        winds = winds & (length >= helix_pitch(self.stiffness, np.where(winds, self.force, 1.0)))
        if not winds.any():
            return self.keep("weight", lain)
        limit = np.where(winds, lock_up_force(self.friction, radial, length, self.stiffness), np.inf)
        margin = np.where(winds, limit / np.where(winds, self.force, 1.0), np.inf)
        self.limit = np.where(margin < self.margin, limit, self.limit)
        self.margin = np.minimum(margin, self.margin)
        wound = helical_contact(self.force, self.friction, radial, length, self.stiffness)
        self.parts["weight"] = self.parts.get("weight", 0.0) + np.where(winds, 0.0, lain - self.force)
        self.parts["helix"] = self.parts.get("helix", 0.0) + np.where(winds, wound - self.force, 0.0)
        self.force = np.where(winds, wound, lain)
        return None

    def keep(self, part: str, force: Number) -> None:
        self.parts[part] = self.parts.get(part, 0.0) + (force - self.force)
        self.force = np.asarray(force)

    def block(self) -> None:
        """A wire thicker than its liner passes nowhere."""
        if self.stuck.any():
            self.force = np.where(self.stuck, np.inf, self.force)


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


def hole_of(values: Values) -> Number:
    """Diameter of the filled hole of the wire.

    Parameters
    ----------
    values : mapping of str to float or array
        Values by dotted field [SI].

    Returns
    -------
    float or array
        d - 2 t, at least 0 [m]; 0 for solid wire.

    Raises
    ------
    Nothing.

    Source: geometry.

    >>> hole_of({"wire.diameter_m": 0.001, "wire.sheath_thickness_m": 0.0005})
    0.0
    """
    hole = np.maximum(values["wire.diameter_m"] - 2 * values["wire.sheath_thickness_m"], 0.0)
    return float(hole) if np.ndim(hole) == 0 else hole


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
    draws_or_values: Draws | Values, path: FeedPath, hot: bool = True, lead: str = "as-is", tip: bool = True
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
        walk = _Walk(hold, values, pushed=True)
        walk.parts["tip"] = hold
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
        walk = _Walk(np.asarray(back_force(values) if spool else 0.0), values, pushed=False)
        for leg in reversed(way):
            walk.along(leg)
        walk.turn_into(0.0)
        walk.block()
        return walk.force + (tip_hold(values, hot=False) if tip else 0.0)
