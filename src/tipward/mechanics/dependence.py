"""Which fields of a path each part of the physics reads, so that a check knows which faults it can notice."""


def fields_of(*names: str) -> frozenset[str]:
    """A set of dotted fields."""
    return frozenset(names)


METAL = fields_of(
    "wire.diameter_m", "wire.young_pa", "wire.yield_pa", "wire.density_kg_per_m3", "wire.stiffness_factor"
)
METAL |= fields_of("wire.sheath_thickness_m")
LEAD = METAL | fields_of(
    "liner.bore_m", "liner.friction_1", "liner.kink_drag_n", "torch_lead.length_m", "neck.turning_rad", "neck.radius_m"
)
LIE = fields_of("torch_lead.turns", "torch_lead.turn_radius_m", "torch_lead.extra_turning_rad")
TIP = fields_of("wire.cast_diameter_m", "contact_tip.bore_m", "contact_tip.length_m", "contact_tip.friction_1")
TIP |= fields_of("contact_tip.spatter_drag_n")
SPOOL = fields_of("spool.brake_torque_n_m", "spool.take_off_radius_m", "spool.rub_drag_n", "spool.snag_drag_n")
INLET = fields_of("inlet_guide.turning_rad", "inlet_guide.friction_1")
GRIP = fields_of("drive_rolls.clamp_force_n", "drive_rolls.friction_1", "drive_rolls.groove_half_angle_rad")
GRIP |= fields_of("drive_rolls.pairs", "drive_rolls.grip_factor_1")
PULL = fields_of("gun.pull_force_n")
# What the push depends on while the arc burns.
PUSH = LEAD | LIE | TIP | PULL | fields_of("contact_tip.bridge_force_n", "mechanics.junction_factor_1")
