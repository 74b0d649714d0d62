"""The reference path of docs/explanation/feed-force.md, every field given, so that nothing is drawn."""

import math

from tipward.mechanics import draw
from tipward.model import ContactTip, FeedPath, Liner, Neck, TorchLead, Wire


def reference_path(loops, friction=0.15, tip_n=1.5, **lead):
    """0.9 mm steel, bore 1.5 mm, 4 m: neck 50°, straight, 90°, loops of 150 mm, straight. The tip holds ``tip_n``."""
    return FeedPath(
        wire=Wire("er70s-6", 0.0009, 1.0, young_pa=207e9, yield_pa=850e6, density_kg_per_m3=7850, stiffness_factor=1.0),
        liner=Liner("steel", 0.0015, friction_1=friction),
        torch_lead=TorchLead(**{"length_m": 4.0, "turns": loops, "turn_radius_m": 0.15} | lead),
        neck=Neck(math.radians(50), 0.075),
        # a tip without friction, so that the hold is exactly tip_n
        contact_tip=ContactTip(bore_m=0.0011, length_m=0.025, friction_1=1e-12, bridge_force_n=tip_n),
    )


def settled(path):
    """Values of a path with the model's own doubt about junctions left out."""
    return {**draw(path, 8).values, "mechanics.junction_factor_1": 1.0}
