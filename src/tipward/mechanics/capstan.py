"""Euler-Eytelwein: what a bend does to a force, on a cable, in a groove, on a belt."""

import numpy as np

from tipward.mechanics.arrays import Number


def capstan(force_n: Number, friction_1: Number, angle_rad: Number) -> Number:
    """Force behind a bend that the wire is dragged through, away from its loose end.

    Parameters
    ----------
    force_n : float or array
        Force before the bend [N]; negative is tension that runs with the march, and dies away in the bend.
    friction_1 : float or array
        Coefficient of friction [1].
    angle_rad : float or array
        Angle of the bend [rad].

    Returns
    -------
    float or array
        F exp(mu theta) [N]; F exp(-mu theta) where F is negative.

    Raises
    ------
    Nothing.

    Source: euler-eytelwein. No term for speed: pulling force was independent of feed speed (padilla-2003).

    >>> round(float(capstan(1.0, 0.3, 2 * np.pi)), 1)
    6.6
    """
    return force_n * np.exp(np.copysign(1.0, force_n) * friction_1 * angle_rad)


def capstan_friction(ratio_1: Number, angle_rad: Number) -> Number:
    """Friction that a ratio of forces over a bend means by the capstan alone, without junctions.

    Parameters
    ----------
    ratio_1 : float or array
        Force behind over force before [1].
    angle_rad : float or array
        Angle of the bend [rad].

    Returns
    -------
    float or array
        ln(ratio) / theta [1]: biased low on a stiff wire, on the unsafe side.

    Raises
    ------
    Nothing.

    Source: euler-eytelwein; the bias is own-derivation.

    >>> round(float(capstan_friction(2.5, np.pi)), 4)
    0.2917
    """
    return np.log(ratio_1) / angle_rad


def sidewall_pressure(force_n: Number, radius_m: Number) -> Number:
    """Force per length with which a pulled cable lies on the inside of a bend.

    Parameters
    ----------
    force_n : float or array
        Tension or compression at that place [N].
    radius_m : float or array
        Radius of the bend [m].

    Returns
    -------
    float or array
        F / R [N/m].

    Raises
    ------
    Nothing.

    Source: nema-wc-74.

    >>> float(sidewall_pressure(144.0, 2.0))
    72.0
    """
    return force_n / radius_m


def drag_along(force_n: Number, friction_1: Number, weight_n_per_m: Number, length_m: Number) -> Number:
    """Force behind a straight level piece in which only the weight presses the wire on the wall.

    Parameters
    ----------
    force_n : float or array
        Force before the piece [N].
    friction_1 : float or array
        Coefficient of friction [1].
    weight_n_per_m : float or array
        Weight of the wire [N/m].
    length_m : float or array
        Length [m].

    Returns
    -------
    float or array
        F + mu w L [N].

    Raises
    ------
    Nothing.

    Source: nema-wc-74.

    >>> round(drag_along(0.0, 0.3, 1.5, 200.0), 9)
    90.0
    """
    return force_n + friction_1 * weight_n_per_m * length_m


def belt_power(
    tight_n: Number,
    friction_1: Number,
    angle_rad: Number,
    speed_m_per_s: Number,
    half_angle_rad: Number = np.pi / 2,
    mass_kg_per_m: Number = 0.0,
) -> Number:
    """Power that one belt or rope carries at the edge of slip, flat or wedged in a groove.

    Parameters
    ----------
    tight_n : float or array
        Tension of the tight side, centrifugal share included [N].
    friction_1 : float or array
        Coefficient of friction [1].
    angle_rad : float or array
        Angle of wrap [rad].
    speed_m_per_s : float or array
        Speed of the belt [m/s].
    half_angle_rad : float or array
        Half-angle of the groove [rad]; pi/2 is flat.
    mass_kg_per_m : float or array
        Mass per length, for the centrifugal tension m v^2 [kg/m].

    Returns
    -------
    float or array
        (T1 - m v^2) (1 - exp(-mu theta / sin beta)) v [W].

    Raises
    ------
    Nothing.

    Source: rajput, ex. 13.4 and 13.11; tayal, ex. 7.7. The same wedge rule gives the grip of a V groove.

    >>> round(float(belt_power(700.0, 0.3, np.radians(160), 500 / 60)))
    3309
    """
    gripping = tight_n - mass_kg_per_m * speed_m_per_s**2
    return gripping * -np.expm1(-friction_1 * angle_rad / np.sin(half_angle_rad)) * speed_m_per_s
