"""The spool and its brake: inertia, overrun, back-tension, the surge at a start."""

import numpy as np

from tipward.mechanics.arrays import Number


def spool_inertia(mass_kg: Number, outer_m: Number, inner_m: Number) -> Number:
    """Moment of inertia of the wire on a spool.

    Parameters
    ----------
    mass_kg : float or array
        Mass of the wire [kg].
    outer_m : float or array
        Radius of the outermost wrap [m].
    inner_m : float or array
        Radius of the barrel [m].

    Returns
    -------
    float or array
        m/2 (Ro^2 + Ri^2) [kg m^2].

    Raises
    ------
    Nothing.

    Source: statics (ring).

    >>> round(spool_inertia(15.0, 0.145, 0.106), 5)
    0.24196
    """
    return mass_kg / 2 * (outer_m**2 + inner_m**2)


def brake_for_overrun(
    inertia_kg_m2: Number, speed_m_per_s: Number, take_off_radius_m: Number, overrun_m: Number
) -> Number:
    """Brake torque that stops the spool within a length of wire.

    Parameters
    ----------
    inertia_kg_m2 : float or array
        Moment of inertia of the spool [kg m^2].
    speed_m_per_s : float or array
        Feed speed before the stop [m/s].
    take_off_radius_m : float or array
        Radius at which the wire leaves [m].
    overrun_m : float or array
        Length of wire that may run slack [m].

    Returns
    -------
    float or array
        I v^2 / (2 Ro x) [N m].

    Raises
    ------
    Nothing.

    Source: statics (energy of the turning spool).

    >>> round(brake_for_overrun(0.24196, 10 / 60, 0.145, 0.020), 4)
    1.1588
    """
    return inertia_kg_m2 * speed_m_per_s**2 / (2 * take_off_radius_m * overrun_m)


def overrun(
    inertia_kg_m2: Number, speed_m_per_s: Number, take_off_radius_m: Number, brake_torque_n_m: Number
) -> Number:
    """Length of wire that runs slack after a stop.

    Parameters
    ----------
    inertia_kg_m2 : float or array
        Moment of inertia of the spool [kg m^2].
    speed_m_per_s : float or array
        Feed speed before the stop [m/s].
    take_off_radius_m : float or array
        Radius at which the wire leaves [m].
    brake_torque_n_m : float or array
        Brake torque [N m]; nought coasts without end.

    Returns
    -------
    float or array
        I v^2 / (2 Ro T) [m].

    Raises
    ------
    Nothing.

    Source: statics (energy of the turning spool).

    >>> round(float(overrun(0.24196, 10 / 60, 0.145, 1.1588)), 3)
    0.02
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.divide(inertia_kg_m2 * speed_m_per_s**2, 2 * take_off_radius_m * brake_torque_n_m)


def back_tension(brake_torque_n_m: Number, take_off_radius_m: Number) -> Number:
    """Pull that the brake asks of the wire; it RISES as the spool empties.

    Parameters
    ----------
    brake_torque_n_m : float or array
        Brake torque [N m].
    take_off_radius_m : float or array
        Radius at which the wire leaves [m].

    Returns
    -------
    float or array
        T / r [N].

    Raises
    ------
    Nothing.

    Source: statics.

    >>> round(back_tension(1.1588, 0.145), 3)
    7.992
    """
    return brake_torque_n_m / take_off_radius_m


def start_surge(
    inertia_kg_m2: Number, acceleration_m_per_s2: Number, take_off_radius_m: Number, brake_torque_n_m: Number
) -> Number:
    """Pull off the spool while the wire speeds up at a start.

    Parameters
    ----------
    inertia_kg_m2 : float or array
        Moment of inertia of the spool [kg m^2].
    acceleration_m_per_s2 : float or array
        Acceleration of the wire [m/s^2].
    take_off_radius_m : float or array
        Radius at which the wire leaves [m].
    brake_torque_n_m : float or array
        Brake torque [N m].

    Returns
    -------
    float or array
        I a / Ro^2 + T / Ro [N].

    Raises
    ------
    Nothing.

    Source: statics.

    >>> round(start_surge(0.24196, 1.0, 0.145, 1.1588), 1)
    19.5
    """
    return inertia_kg_m2 * acceleration_m_per_s2 / take_off_radius_m**2 + brake_torque_n_m / take_off_radius_m


def take_off_radius(left_share_1: Number, outer_m: Number, inner_m: Number) -> Number:
    """Radius of the outermost wrap of a part-used spool.

    Parameters
    ----------
    left_share_1 : float or array
        Share of the wire that is left [1].
    outer_m : float or array
        Radius of the full spool [m].
    inner_m : float or array
        Radius of the barrel [m].

    Returns
    -------
    float or array
        sqrt(Ri^2 + share (Ro^2 - Ri^2)) [m].

    Raises
    ------
    Nothing.

    Source: geometry.

    >>> round(float(take_off_radius(0.5, 0.145, 0.106)), 3)
    0.127
    """
    return np.sqrt(inner_m**2 + left_share_1 * (outer_m**2 - inner_m**2))
