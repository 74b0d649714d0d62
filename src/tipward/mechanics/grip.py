"""How hard the drive rolls can push before the wire slips in the groove."""

import numpy as np

from tipward.mechanics.arrays import Number


def groove_friction(friction_1: Number, half_angle_rad: Number = np.pi / 2) -> Number:
    """Friction of a wedging groove, as seen by the clamp force.

    Parameters
    ----------
    friction_1 : float or array
        Friction of wire on the groove [1].
    half_angle_rad : float or array
        Half-angle of a V groove; pi/2 for a U or a knurled groove [rad].

    Returns
    -------
    float or array
        mu / sin beta [1].

    Raises
    ------
    Nothing.

    Source: rajput, ex. 13.11 (wedge belts).

    >>> round(float(groove_friction(0.2, np.pi / 4)), 3)
    0.283
    """
    return friction_1 / np.sin(half_angle_rad)


def grip(
    clamp_n: Number,
    friction_1: Number,
    half_angle_rad: Number = np.pi / 2,
    pairs: Number = 1,
    idler_driven: bool = False,
    grip_factor_1: Number = 1.0,
) -> Number:
    """Push at which the wire slips in the drive rolls.

    Parameters
    ----------
    clamp_n : float or array
        Clamp force of one pair [N].
    friction_1 : float or array
        Friction of wire on the groove; for a knurled one its equivalent, 0.4-0.7 [1].
    half_angle_rad : float or array
        Half-angle of a V groove; pi/2 for a U or a knurled groove [rad].
    pairs : int or array
        Pairs of rolls [1].
    idler_driven : bool
        The flat idler is driven too and adds mu W.
    grip_factor_1 : float or array
        Share of the grip left by wear, dirt or a wrong groove [1].

    Returns
    -------
    float or array
        W mu / sin beta (+ W mu), times pairs [N].

    Raises
    ------
    Nothing.

    Source: rajput, ex. 13.11 (wedge rule); knurled: memory.

    >>> round(float(grip(100.0, 0.2, np.pi / 4, pairs=2)), 1)
    56.6
    """
    per_pair = groove_friction(friction_1, half_angle_rad) + (friction_1 if idler_driven else 0.0)
    return clamp_n * per_pair * pairs * grip_factor_1
