"""A small catalogue with faults that change the path, for tests of measured checks judged jointly."""

from tipward.faults import build_catalogue
from tipward.model import FeedPath, TorchLead, Wire

TOML = """
[[caution]]
id = "jog-only"
text = "Jog only."
source = "common-practice"

[[complaint]]
id = "slips"
name = "wire slips"
false = 0.05

[[fault]]
id = "dirty"
station = "liner"
name = "Dirty liner"
why = "x"
prior = 0.2
prior_reason = "x"
seen_by_proof = 0.95
prevention = "x"
complaints = { slips = 0.6 }
changes = [{ field = "liner.friction_1", op = "*", low = 1.4, mode = 2.0, high = 3.0 }]

[[fault]]
id = "loops"
station = "torch-lead"
name = "Tight loops"
why = "x"
prior = 0.15
prior_reason = "x"
seen_by_proof = 0.95
prevention = "x"
complaints = { slips = 0.5 }
changes = [{ field = "torch_lead.extra_turning_rad", op = "+", low = 3.1, mode = 6.3, high = 12.6 }]

[[fault]]
id = "brake"
station = "spool"
name = "Brake tight"
why = "x"
prior = 0.1
prior_reason = "x"
seen_by_proof = 0.95
prevention = "x"
complaints = { slips = 0.4 }
changes = [{ field = "spool.brake_torque_n_m", op = "*", low = 2.0, mode = 4.0, high = 8.0 }]

[[fault]]
id = "pressure"
station = "drive-rolls"
name = "Pressure low"
why = "x"
prior = 0.1
prior_reason = "x"
seen_by_proof = 0.95
prevention = "x"
complaints = { slips = 0.8 }
changes = [{ field = "drive_rolls.clamp_force_n", op = "*", low = 0.15, mode = 0.3, high = 0.5 }]

[[action]]
id = "mend"
station = "liner"
name = "Mend"
kind = "adjust"
instructions = "x"
minutes = { low = 1, mode = 2, high = 3 }
clears = [{ fault = "dirty", success = 0.9 }, { fault = "loops", success = 0.9 }, { fault = "brake", success = 0.9 }, { fault = "pressure", success = 0.9 }]

[[check]]
id = "pull"
station = "liner"
name = "Pull"
instructions = "x"
minutes = { low = 1, mode = 2, high = 3 }
who = "technician"
at = ["machine"]
reading = { name = "pull-through-torch", unit = "N", repeat_share = 0.1, repeat_absolute = 0.3, context = { tip = "off", lead = "as-is", spool = "on" } }

[[check]]
id = "off-spool"
station = "spool"
name = "Off the spool"
instructions = "x"
minutes = { low = 1, mode = 2, high = 3 }
who = "technician"
at = ["machine"]
reading = { name = "pull-off-spool", unit = "N", repeat_share = 0.1, repeat_absolute = 0.3 }

[[check]]
id = "look"
station = "liner"
name = "Look"
instructions = "x"
minutes = { low = 1, mode = 2, high = 3 }
who = "technician"
at = ["machine"]
outcomes = [{ id = "clean", text = "clean" }, { id = "dusty", text = "dusty" }]
false = { dusty = 0.1 }
shows = [{ fault = "dirty", outcomes = { dusty = 0.7 }, reason = "x" }]
"""

PATH = FeedPath(wire=Wire("er70s-6", 0.0009), torch_lead=TorchLead(length_m=4.0, turns=1, turn_radius_m=0.15))


def catalogue():
    return build_catalogue([("small.toml", TOML)])
