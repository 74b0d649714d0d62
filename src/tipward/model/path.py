"""The feed path: every part that the wire meets from spool to arc. Unknown (None) is a value everywhere."""

from dataclasses import fields, is_dataclass
from typing import Annotated, Any, Literal

from annotated_types import Ge, Gt, Le
from pydantic import ConfigDict
from pydantic.dataclasses import dataclass
from pydantic.types import AllowInfNan

Positive = Annotated[float, Gt(0), AllowInfNan(False)]
NotNegative = Annotated[float, Ge(0), AllowInfNan(False)]

_DOOR = ConfigDict(extra="forbid", strict=False, str_max_length=2000)


@dataclass(frozen=True, slots=True, config=_DOOR)
class Wire:
    """The welding wire. ``wire_class`` is a key of the wire table, for example "er70s-6" or "e71t-11"."""

    wire_class: str | None = None
    diameter_m: Positive | None = None
    cast_diameter_m: Positive | None = None
    helix_lift_m: NotNegative | None = None
    condition: Literal["clean", "dusty", "rusty", "greasy"] | None = None
    young_pa: Positive | None = None
    yield_pa: Positive | None = None
    density_kg_per_m3: Positive | None = None
    stiffness_factor: Positive | None = None
    sheath_thickness_m: Positive | None = None


@dataclass(frozen=True, slots=True, config=_DOOR)
class Spool:
    """Spool and hub.

    ``rub_drag_n`` is a pull once a turn, ``snag_drag_n`` a pull at crossed wraps; both 0 when healthy.
    """

    form: Literal["S100", "S200", "S300", "B300", "drum"] | None = None
    hub: Literal["nut is brake", "separate brake", "no drive hole", "drum"] | None = None
    wire_left_kg: NotNegative | None = None
    brake_torque_n_m: NotNegative | None = None
    take_off_radius_m: Positive | None = None
    rub_drag_n: NotNegative = 0.0
    snag_drag_n: NotNegative = 0.0


@dataclass(frozen=True, slots=True, config=_DOOR)
class InletGuide:
    """Guide between spool and rolls; ``turning_rad`` is how far it bends the wire."""

    turning_rad: NotNegative | None = None
    friction_1: Positive | None = None


@dataclass(frozen=True, slots=True, config=_DOOR)
class Drive:
    """Motor, gearbox and control of the feeder.

    ``speed_factor_1`` is turning speed over set speed, 1 when healthy; ``gun_control`` says which guns with a motor of
    their own this machine can drive.
    """

    motor_force_n: Positive | None = None
    declared_load_n: Positive | None = None
    speed_factor_1: Positive = 1.0
    supply: str | None = None
    supply_drop_v: NotNegative | None = None
    gun_control: Literal["none", "push-pull", "spool gun", "both"] | None = None


@dataclass(frozen=True, slots=True, config=_DOOR)
class DriveRolls:
    """Drive rolls. ``grip_factor_1`` is the share of grip left, 1 when healthy; ``clamp_force_n`` None is "unknown"."""

    groove: Literal["v", "u", "knurled", "flat"] | None = None
    groove_size_m: Positive | None = None
    groove_half_angle_rad: Positive | None = None
    pairs: Annotated[int, Ge(1), Le(4)] | None = None
    idler_driven: bool | None = None
    clamp_force_n: NotNegative | None = None
    diameter_m: Positive | None = None
    friction_1: Positive | None = None
    grip_factor_1: Positive = 1.0


@dataclass(frozen=True, slots=True, config=_DOOR)
class OutletGuide:
    """Guide behind the rolls: free gap from nip to guide, and how far the wire may stand off the line of push there."""

    gap_m: NotNegative | None = None
    offset_m: NotNegative | None = None


@dataclass(frozen=True, slots=True, config=_DOOR)
class Liner:
    """Liner of the torch lead. ``kink_drag_n`` is the extra hold of a kink, clamp or burr, 0 when healthy."""

    material: Literal["steel", "ptfe", "pa", "carbon-ptfe"] | None = None
    bore_m: Positive | None = None
    length_m: Positive | None = None
    friction_1: Positive | None = None
    kink_drag_n: NotNegative = 0.0
    carried: str | None = None


@dataclass(frozen=True, slots=True, config=_DOOR)
class Piece:
    """One piece of the route of the torch lead: straight where ``radius_m`` is None, else bent by ``turning_rad``."""

    length_m: Positive | None = None
    radius_m: Positive | None = None
    turning_rad: Positive | None = None


@dataclass(frozen=True, slots=True, config=_DOOR)
class TorchLead:
    """Torch lead.

    Either ``route`` (machine to gun) or ``turns`` of ``turn_radius_m`` in the middle; extra turning is 0 when
    healthy.
    """

    length_m: Positive | None = None
    turns: NotNegative | None = None
    turn_radius_m: Positive | None = None
    route: tuple[Piece, ...] = ()
    extra_turning_rad: NotNegative = 0.0
    safe_radius_m: Positive | None = None


@dataclass(frozen=True, slots=True, config=_DOOR)
class Neck:
    """Neck (swan neck) of the gun."""

    turning_rad: NotNegative | None = None
    radius_m: Positive | None = None


@dataclass(frozen=True, slots=True, config=_DOOR)
class ContactTip:
    """Contact tip.

    ``bridge_force_n`` is the hold of hot bridges, ``spatter_drag_n`` that of spatter or a fused wire (0 when
    healthy).
    """

    marked_size_m: Positive | None = None
    bore_m: Positive | None = None
    length_m: Positive | None = None
    for_aluminium: bool | None = None
    friction_1: Positive | None = None
    bridge_force_n: NotNegative | None = None
    spatter_drag_n: NotNegative = 0.0


@dataclass(frozen=True, slots=True, config=_DOOR)
class Gun:
    """What carries the wire: push, push-pull (own motor, ``pull_force_n``) or spool gun."""

    kind: Literal["push", "push-pull", "spool gun"] = "push"
    pull_force_n: NotNegative | None = None
    nozzle: str | None = None
    trigger: str | None = None
    stick_out_m: Positive | None = None


@dataclass(frozen=True, slots=True, config=_DOOR)
class WeldingCircuit:
    """Polarity of the electrode and the way back of the current."""

    polarity: Literal["electrode positive", "electrode negative"] | None = None
    work_return: str | None = None
    return_resistance_ohm: Positive | None = None


@dataclass(frozen=True, slots=True, config=_DOOR)
class Settings:
    """What is set on the machine."""

    gas: str | None = None
    feed_speed_m_per_s: Positive | None = None
    voltage_v: Positive | None = None
    current_a: Positive | None = None
    burn_back_s: NotNegative | None = None
    mode: str | None = None
    feed_speed_factor_1: Positive = 1.0


@dataclass(frozen=True, slots=True, config=_DOOR)
class Use:
    """How long and where the path has been in use."""

    hours_h: NotNegative | None = None
    fed_kg: NotNegative | None = None
    storage: Literal["dry", "damp", "dusty", "outdoors"] | None = None
    idle_days: NotNegative | None = None
    last_change: str | None = None


@dataclass(frozen=True, slots=True, config=_DOOR)
class FeedPath:
    """Everything the wire meets from spool to arc; every field may be unknown.

    >>> FeedPath(wire=Wire(diameter_m=0.0009), torch_lead=TorchLead(length_m=4.0, turns=1)).wire.diameter_m
    0.0009
    """

    name: str = "feed path"
    wire: Wire = Wire()
    spool: Spool = Spool()
    inlet_guide: InletGuide = InletGuide()
    drive: Drive = Drive()
    drive_rolls: DriveRolls = DriveRolls()
    outlet_guide: OutletGuide = OutletGuide()
    liner: Liner = Liner()
    torch_lead: TorchLead = TorchLead()
    neck: Neck = Neck()
    contact_tip: ContactTip = ContactTip()
    gun: Gun = Gun()
    welding_circuit: WeldingCircuit = WeldingCircuit()
    settings: Settings = Settings()
    use: Use = Use()


def field_value(path: FeedPath, field: str) -> Any:
    """Read one field of a path by its dotted name.

    Parameters
    ----------
    path : FeedPath
        The path.
    field : str
        Dotted name, for example ``liner.bore_m``.

    Returns
    -------
    object
        The value as held (SI), None where unknown.

    Raises
    ------
    KeyError
        No such field.

    Source: design (docs/decisions/0006).

    >>> field_value(FeedPath(wire=Wire(diameter_m=0.0009)), "wire.diameter_m")
    0.0009
    """
    value: Any = path
    for name in field.split("."):
        if not is_dataclass(value) or name not in {item.name for item in fields(value)}:
            raise KeyError(field)
        value = getattr(value, name)
    return value


def field_names() -> tuple[str, ...]:
    """List the dotted names of all fields of a feed path.

    Returns
    -------
    tuple of str
        Names in path order, for example ``wire.diameter_m``.

    Raises
    ------
    Nothing.

    Source: design (docs/decisions/0006).

    >>> "liner.bore_m" in field_names()
    True
    """
    path = FeedPath()
    parts = [item.name for item in fields(path) if is_dataclass(getattr(path, item.name))]
    return tuple(f"{part}.{item.name}" for part in parts for item in fields(getattr(path, part)))
