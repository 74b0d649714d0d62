"""Wire under push in a straight bore: it snakes, then winds into a helix, presses on the wall, and may lock up."""

import numpy as np

from tipward.mechanics.arrays import Number


def full_helix_force(stiffness_n_m2: Number, weight_n_per_m: Number, radial_m: Number) -> Number:
    """Push above which the whole of a level straight is a helix.

    Parameters
    ----------
    stiffness_n_m2 : float or array
        Bending stiffness EI [N m^2].
    weight_n_per_m : float or array
        Weight of the wire [N/m].
    radial_m : float or array
        Radial clearance, half of bore less wire [m].

    Returns
    -------
    float or array
        2 (2 sqrt 2 - 1) sqrt(EI w / r) [N].

    Raises
    ------
    Nothing.

    Source: wu-juvkam-wold-1993.

    >>> round(float(full_helix_force(6.6667e-3, 0.049, 0.0003)), 2)
    3.82
    """
    return (2 * 2**0.5 - 1) * sinusoidal_force(stiffness_n_m2, weight_n_per_m, radial_m)


def sinusoidal_force(stiffness_n_m2: Number, weight_n_per_m: Number, radial_m: Number) -> Number:
    """Push above which a long level wire snakes sideways.

    Parameters
    ----------
    stiffness_n_m2 : float or array
        Bending stiffness EI [N m^2].
    weight_n_per_m : float or array
        Weight of the wire [N/m].
    radial_m : float or array
        Radial clearance [m].

    Returns
    -------
    float or array
        2 sqrt(EI w / r) [N].

    Raises
    ------
    Nothing.

    Source: wicks-2008.

    >>> round(float(sinusoidal_force(2.0638e6, 315.0, 0.041)))
    251841
    """
    return 2 * np.sqrt(stiffness_n_m2 * weight_n_per_m / radial_m)


def helix_onset_force(stiffness_n_m2: Number, weight_n_per_m: Number, radial_m: Number) -> Number:
    """Push at which a helix of a long level wire first carries itself.

    Parameters
    ----------
    stiffness_n_m2 : float or array
        Bending stiffness EI [N m^2].
    weight_n_per_m : float or array
        Weight of the wire [N/m].
    radial_m : float or array
        Radial clearance [m].

    Returns
    -------
    float or array
        2 sqrt(2 EI w / r) [N].

    Raises
    ------
    Nothing.

    Source: wicks-2008.

    >>> round(float(helix_onset_force(2.0638e6, 315.0, 0.041)))
    356158
    """
    return 2**0.5 * sinusoidal_force(stiffness_n_m2, weight_n_per_m, radial_m)


def half_waves(stiffness_n_m2: Number, weight_n_per_m: Number, radial_m: Number, length_m: Number) -> Number:
    """Number of half-waves in which a long level wire first snakes.

    Parameters
    ----------
    stiffness_n_m2 : float or array
        Bending stiffness EI [N m^2].
    weight_n_per_m : float or array
        Weight of the wire [N/m].
    radial_m : float or array
        Radial clearance [m].
    length_m : float or array
        Length [m].

    Returns
    -------
    float or array
        (L / pi) (w / (EI r))^(1/4) [1].

    Raises
    ------
    Nothing.

    Source: wicks-2008.

    >>> round(float(half_waves(2.0638e6, 315.0, 0.041, 2000.0)))
    157
    """
    return length_m / np.pi * (weight_n_per_m / (stiffness_n_m2 * radial_m)) ** 0.25


def helix_pitch(stiffness_n_m2: Number, force_n: Number) -> Number:
    """Length of one turn of the helix.

    Parameters
    ----------
    stiffness_n_m2 : float or array
        Bending stiffness EI [N m^2].
    force_n : float or array
        Push in the wire, above 0 [N].

    Returns
    -------
    float or array
        sqrt(8 pi^2 EI / F) [m].

    Raises
    ------
    Nothing.

    Source: wu-juvkam-wold-1993.

    >>> round(float(helix_pitch(6.6667e-3, 10.0)), 3)
    0.229
    """
    return np.sqrt(8 * np.pi**2 * stiffness_n_m2 / force_n)


def helix_wall_force(stiffness_n_m2: Number, force_n: Number, radial_m: Number) -> Number:
    """Force per length with which the helix presses on the wall.

    Parameters
    ----------
    stiffness_n_m2 : float or array
        Bending stiffness EI [N m^2].
    force_n : float or array
        Push in the wire [N].
    radial_m : float or array
        Radial clearance [m].

    Returns
    -------
    float or array
        r F^2 / (4 EI) [N/m].

    Raises
    ------
    Nothing.

    Source: wicks-2008.

    >>> round(helix_wall_force(6.6667e-3, 10.0, 0.0003), 3)
    1.125
    """
    return radial_m * force_n**2 / (4 * stiffness_n_m2)


def helical_contact(
    force_n: Number, friction_1: Number, radial_m: Number, length_m: Number, stiffness_n_m2: Number
) -> Number:
    """Push behind a straight in which the wire lies as a helix.

    Parameters
    ----------
    force_n : float or array
        Push before the straight [N].
    friction_1 : float or array
        Coefficient of friction [1].
    radial_m : float or array
        Radial clearance [m].
    length_m : float or array
        Length [m].
    stiffness_n_m2 : float or array
        Bending stiffness EI [N m^2].

    Returns
    -------
    float or array
        1 / (1/F - mu r L / (4 EI)) [N]; infinite where that is not positive: lock-up.

    Raises
    ------
    Nothing.

    Source: wicks-2008, integrated along the straight (own-derivation).

    >>> round(float(helical_contact(50.0, 0.15, 0.0003, 4.0, 6.6667e-3)), 2)
    75.47
    """
    left = 1.0 - force_n * (friction_1 * radial_m * length_m / (4 * stiffness_n_m2))
    return np.where(left > 0, force_n / np.where(left > 0, left, 1.0), np.inf)


def lock_up_force(friction_1: Number, radial_m: Number, length_m: Number, stiffness_n_m2: Number) -> Number:
    """Push entering a straight at which its helix locks up.

    Parameters
    ----------
    friction_1 : float or array
        Coefficient of friction [1].
    radial_m : float or array
        Radial clearance [m].
    length_m : float or array
        Length [m].
    stiffness_n_m2 : float or array
        Bending stiffness EI [N m^2].

    Returns
    -------
    float or array
        4 EI / (mu r L) [N].

    Raises
    ------
    Nothing.

    Source: own-derivation from wicks-2008.

    >>> round(lock_up_force(0.15, 0.0008, 4.0, 6.6667e-3), 1)
    55.6
    """
    return 4 * stiffness_n_m2 / (friction_1 * radial_m * length_m)


def lock_up_length(friction_1: Number, radial_m: Number, force_n: Number, stiffness_n_m2: Number) -> Number:
    """Longest straight that a push entering it can cross as a helix.

    Parameters
    ----------
    friction_1 : float or array
        Coefficient of friction [1].
    radial_m : float or array
        Radial clearance [m].
    force_n : float or array
        Push entering the straight [N].
    stiffness_n_m2 : float or array
        Bending stiffness EI [N m^2].

    Returns
    -------
    float or array
        4 EI / (mu r F0) [m].

    Raises
    ------
    Nothing.

    Source: own-derivation from wicks-2008.

    >>> round(lock_up_length(0.15, 0.0008, 50.0, 6.6667e-3), 2)
    4.44
    """
    return 4 * stiffness_n_m2 / (friction_1 * radial_m * force_n)


def lock_up_length_under_weight(
    friction_1: Number, stiffness_n_m2: Number, weight_n_per_m: Number, radial_m: Number
) -> Number:
    """Longest level straight that a heavy free-ended rod can be pushed through.

    Parameters
    ----------
    friction_1 : float or array
        Coefficient of friction [1].
    stiffness_n_m2 : float or array
        Bending stiffness EI [N m^2].
    weight_n_per_m : float or array
        Weight [N/m].
    radial_m : float or array
        Radial clearance [m].

    Returns
    -------
    float or array
        F_hel / (mu w) by weight, then 4 EI / (mu r F_hel) as a helix [m].

    Raises
    ------
    Nothing.

    Source: wicks-2008, in two parts (own-derivation).

    >>> round(float(lock_up_length_under_weight(0.3, 2.0638e6, 315.0, 0.041)), -2)
    5700.0
    """
    onset = helix_onset_force(stiffness_n_m2, weight_n_per_m, radial_m)
    return onset / (friction_1 * weight_n_per_m) + lock_up_length(friction_1, radial_m, onset, stiffness_n_m2)
