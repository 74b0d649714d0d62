"""One wire on its way through neck and lead: what each bend, junction and straight does to the force in it."""

import numpy as np
from numpy.typing import NDArray

from tipward.mechanics.arrays import Floats, Number, Values
from tipward.mechanics.capstan import capstan
from tipward.mechanics.helix import full_helix_force, helical_contact, helix_pitch, lock_up_force
from tipward.mechanics.junction import junction_length, junction_normal, junction_validity
from tipward.mechanics.route import Leg
from tipward.mechanics.section import (
    bending_stiffness,
    elastic_radius,
    plastic_bending_drag,
    plastic_moment,
    wire_weight,
)

LEAST_HOLE = 0.05  # share of the diameter [judgement]: what is less changes the plastic moment by under 2e-4


def hole_of(values: Values) -> Number:
    """Diameter of the filled hole of the wire.

    Parameters
    ----------
    values : mapping of str to float or array
        Values by dotted field [SI].

    Returns
    -------
    float or array
        d - 2 t [m]; 0 where that is less than a twentieth of d: solid wire, if a little thicker than its class says.

    Raises
    ------
    Nothing.

    Source: geometry; what counts as a hole: judgement.

    >>> hole_of({"wire.diameter_m": 0.001, "wire.sheath_thickness_m": 0.0005})
    0.0
    """
    diameter = values["wire.diameter_m"]
    hole = diameter - 2 * values["wire.sheath_thickness_m"]
    hole = np.where(hole > LEAST_HOLE * diameter, hole, 0.0)
    return float(hole) if np.ndim(hole) == 0 else hole


class Walk:
    """A wire on its way: its section, the liner, and the force so far; in ``detail`` also what each mechanism added."""

    def __init__(self, force: Floats, values: Values, pushed: bool, detail: bool) -> None:
        self.force, self.values, self.pushed, self.detail = force, values, pushed, detail
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

    def note(self, part: str, force: Number) -> None:
        if self.detail:
            self.parts[part] = self.parts.get(part, 0.0) + force

    def add(self, part: str, force: Number) -> None:
        self.note(part, force)
        self.force = self.force + force

    def keep(self, part: str, force: Number) -> None:
        self.note(part, force - self.force if self.detail else 0.0)
        self.force = np.asarray(force)

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
            if self.detail:
                self.load = np.maximum(self.load, np.where(step > 0, load, 0.0))
            doubt = self.values.get("mechanics.junction_factor_1", 1.0) - 1.0
            drag = drag * (1 + doubt * np.minimum(load, 1.0))
        self.add("junctions", drag if np.all(step > 0) else np.where(step > 0, drag, 0.0))

    def straight(self, length: Number) -> None:
        lain = self.force + self.friction * self.weight * length
        if not self.pushed:
            return self.keep("weight", lain)
        radial = self.clearance / 2
        winds = self.force > full_helix_force(self.stiffness, self.weight, radial)
        winds = winds & (length >= helix_pitch(self.stiffness, np.where(winds, self.force, 1.0)))
        if not winds.any():
            return self.keep("weight", lain)
        if self.detail:
            self.near_lock_up(winds, lock_up_force(self.friction, radial, length, self.stiffness))
        wound = helical_contact(self.force, self.friction, radial, length, self.stiffness)
        if self.detail:
            self.note("weight", np.where(winds, 0.0, lain - self.force))
            self.note("helix", np.where(winds, wound - self.force, 0.0))
        self.force = np.where(winds, wound, lain)
        return None

    def near_lock_up(self, winds: NDArray[np.bool_], limit: Number) -> None:
        """Remember the straight that comes nearest to locking up."""
        margin = np.where(winds, limit / np.where(winds, self.force, 1.0), np.inf)
        self.limit = np.where(margin < self.margin, limit, self.limit)
        self.margin = np.minimum(margin, self.margin)

    def block(self) -> None:
        """A wire thicker than its liner passes nowhere."""
        if self.stuck.any():
            self.force = np.where(self.stuck, np.inf, self.force)
