"""What the motor of the feeder can push."""

from tipward.mechanics.arrays import Number


def motor_limit(torque_n_m: Number, ratio_1: Number, efficiency_1: Number, roll_radius_m: Number) -> Number:
    """Push at which the motor stalls or meets its current limit.

    Parameters
    ----------
    torque_n_m : float or array
        Torque of the motor at its limit [N m].
    ratio_1 : float or array
        Turns of the motor for one turn of the roll [1].
    efficiency_1 : float or array
        Efficiency of the gearbox [1].
    roll_radius_m : float or array
        Radius of the drive roll at the wire [m].

    Returns
    -------
    float or array
        T i eta / R [N].

    Raises
    ------
    Nothing.

    Source: statics; declared load of a feeder: iec-60974-5.

    >>> round(motor_limit(0.08, 50.0, 0.6, 0.015))
    160
    """
    return torque_n_m * ratio_1 * efficiency_1 / roll_radius_m


def motor_torque(push_n: Number, ratio_1: Number, efficiency_1: Number, roll_radius_m: Number) -> Number:
    """Torque that a push asks of the motor.

    Parameters
    ----------
    push_n : float or array
        Push at the rolls [N].
    ratio_1 : float or array
        Turns of the motor for one turn of the roll [1].
    efficiency_1 : float or array
        Efficiency of the gearbox [1].
    roll_radius_m : float or array
        Radius of the drive roll at the wire [m].

    Returns
    -------
    float or array
        F R / (i eta) [N m].

    Raises
    ------
    Nothing.

    Source: statics.

    >>> round(motor_torque(160.0, 50.0, 0.6, 0.015), 3)
    0.08
    """
    return push_n * roll_radius_m / (ratio_1 * efficiency_1)
