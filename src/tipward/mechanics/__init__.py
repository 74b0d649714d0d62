"""Pushing wire through a liner: the drag, the limits, the draws over what is unknown, and what readings to expect."""

from tipward.mechanics.arrays import Number, Values
from tipward.mechanics.backlash import axial_compliance, backlash, in_step, push_left
from tipward.mechanics.bend_cost import bend_costs
from tipward.mechanics.budget import feed_force
from tipward.mechanics.capstan import belt_power, capstan, capstan_friction, drag_along, sidewall_pressure
from tipward.mechanics.collapse import euler_load, euler_shortest, hinge_collapse
from tipward.mechanics.contact import contact_modulus, ellipse_ratio, hertz_approach, hertz_line, hertz_point
from tipward.mechanics.drawn_route import DrawnRoute, drawn_route
from tipward.mechanics.draws import MODEL_UNKNOWNS, UNKNOWNS, Draws, change, draw, numeric_fields, triangular
from tipward.mechanics.flattening import crush_clamp, flat_depth, flat_half_width, ovality, ring_collapse
from tipward.mechanics.grip import grip, groove_friction
from tipward.mechanics.helix import (
    full_helix_force,
    half_waves,
    helical_contact,
    helix_onset_force,
    helix_pitch,
    helix_wall_force,
    lock_up_force,
    lock_up_length,
    lock_up_length_under_weight,
    sinusoidal_force,
)
from tipward.mechanics.junction import junction_drag, junction_length, junction_normal, junction_validity
from tipward.mechanics.limits import (
    LimitDraws,
    collapse_of,
    crush_of,
    grip_of,
    half_angle_of,
    limits_of,
    margin,
    ovality_of,
    ring_clamp_of,
)
from tipward.mechanics.march import (
    March,
    back_force,
    pull_force,
    push_force,
    spool_tension,
    tip_hold,
    values_of,
)
from tipward.mechanics.motor import motor_limit, motor_torque
from tipward.mechanics.ranges import Range, range_of, wire_family
from tipward.mechanics.readings import READINGS, ReadingSpec, measure
from tipward.mechanics.route import Leg, lead_length, legs, total_turning
from tipward.mechanics.section import (
    bending_stiffness,
    elastic_radius,
    plastic_bending_drag,
    plastic_moment,
    wire_area,
    wire_weight,
)
from tipward.mechanics.spool import (
    back_tension,
    brake_for_overrun,
    overrun,
    spool_inertia,
    start_surge,
    take_off_radius,
)
from tipward.mechanics.tip import cast_pressing, curl_bow, tip_force
from tipward.mechanics.walk import hole_of

__all__ = [
    "MODEL_UNKNOWNS",
    "READINGS",
    "UNKNOWNS",
    "DrawnRoute",
    "Draws",
    "Leg",
    "LimitDraws",
    "March",
    "Number",
    "Range",
    "ReadingSpec",
    "Values",
    "axial_compliance",
    "back_force",
    "back_tension",
    "backlash",
    "belt_power",
    "bend_costs",
    "bending_stiffness",
    "brake_for_overrun",
    "capstan",
    "capstan_friction",
    "cast_pressing",
    "change",
    "collapse_of",
    "contact_modulus",
    "crush_clamp",
    "crush_of",
    "curl_bow",
    "drag_along",
    "draw",
    "drawn_route",
    "elastic_radius",
    "ellipse_ratio",
    "euler_load",
    "euler_shortest",
    "feed_force",
    "flat_depth",
    "flat_half_width",
    "full_helix_force",
    "grip",
    "grip_of",
    "groove_friction",
    "half_angle_of",
    "half_waves",
    "helical_contact",
    "helix_onset_force",
    "helix_pitch",
    "helix_wall_force",
    "hertz_approach",
    "hertz_line",
    "hertz_point",
    "hinge_collapse",
    "hole_of",
    "in_step",
    "junction_drag",
    "junction_length",
    "junction_normal",
    "junction_validity",
    "lead_length",
    "legs",
    "limits_of",
    "lock_up_force",
    "lock_up_length",
    "lock_up_length_under_weight",
    "margin",
    "measure",
    "motor_limit",
    "motor_torque",
    "numeric_fields",
    "ovality",
    "ovality_of",
    "overrun",
    "plastic_bending_drag",
    "plastic_moment",
    "pull_force",
    "push_force",
    "push_left",
    "range_of",
    "ring_clamp_of",
    "ring_collapse",
    "sidewall_pressure",
    "sinusoidal_force",
    "spool_inertia",
    "spool_tension",
    "start_surge",
    "take_off_radius",
    "tip_force",
    "tip_hold",
    "total_turning",
    "triangular",
    "values_of",
    "wire_area",
    "wire_family",
    "wire_weight",
]
