"""Paths that the tests of fit share: one healthy set-up for each kind of wire."""

from dataclasses import replace

from tipward.model import (
    ContactTip,
    Drive,
    DriveRolls,
    FeedPath,
    Gun,
    Liner,
    Settings,
    Spool,
    TorchLead,
    WeldingCircuit,
    Wire,
)

STEEL = FeedPath(
    wire=Wire("er70s-6", 0.0009, cast_diameter_m=0.7, helix_lift_m=0.010),
    spool=Spool("S300", "separate brake"),
    drive=Drive(gun_control="both"),
    drive_rolls=DriveRolls(groove="v", groove_size_m=0.0009),
    liner=Liner("steel", 0.002, carried="er70s-6"),
    torch_lead=TorchLead(length_m=4.0, turns=1, turn_radius_m=0.3, safe_radius_m=0.15),
    contact_tip=ContactTip(marked_size_m=0.0009, bore_m=0.00105, for_aluminium=False),
    gun=Gun("push"),
    welding_circuit=WeldingCircuit("electrode positive"),
    settings=Settings(gas="M21"),
)
ALUMINIUM = replace(
    STEEL,
    wire=Wire("er4043", 0.0012, cast_diameter_m=0.7, helix_lift_m=0.010),
    drive_rolls=DriveRolls(groove="u", groove_size_m=0.0012),
    liner=Liner("ptfe", 0.002, carried="er5356"),
    torch_lead=replace(STEEL.torch_lead, length_m=3.0),
    contact_tip=ContactTip(marked_size_m=0.0012, bore_m=0.00138, for_aluminium=True),
    settings=Settings(gas="argon"),
)
SELF_SHIELDED = replace(
    STEEL,
    wire=Wire("e71t-11", 0.0012),
    drive_rolls=DriveRolls(groove="knurled", groove_size_m=0.0012),
    liner=Liner("steel", 0.0025),
    contact_tip=ContactTip(marked_size_m=0.0012, bore_m=0.00138, for_aluminium=False),
    welding_circuit=WeldingCircuit("electrode negative"),
    settings=Settings(gas="none"),
)
STAINLESS = replace(
    STEEL,
    wire=Wire("er316lsi", 0.0009),
    liner=Liner("ptfe", 0.002),
    settings=Settings(gas="M12"),
)
GAS_SHIELDED = replace(
    SELF_SHIELDED,
    wire=Wire("e71t-1c", 0.0012),
    welding_circuit=WeldingCircuit("electrode positive"),
    settings=Settings(gas="CO2"),
)
HEALTHY = {
    "steel": STEEL,
    "aluminium": ALUMINIUM,
    "gas-shielded": GAS_SHIELDED,
    "self-shielded": SELF_SHIELDED,
    "stainless": STAINLESS,
}


def changed(path, **fields):
    """A path with some dotted fields set, dots written as two underscores."""
    for name, value in fields.items():
        part, field = name.split("__")
        path = replace(path, **{part: replace(getattr(path, part), **{field: value})})
    return path
