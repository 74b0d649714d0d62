"""Hertz contact: line, point, and the ellipse of crossed cylinders."""

import numpy as np

from tipward.mechanics.arrays import Number


def contact_modulus(young_1_pa: Number, poisson_1: Number, young_2_pa: Number, poisson_2: Number) -> Number:
    """Stiffness of two bodies in contact.

    Parameters
    ----------
    young_1_pa, young_2_pa : float or array
        Young's moduli [Pa].
    poisson_1, poisson_2 : float or array
        Poisson's ratios [1].

    Returns
    -------
    float or array
        1 / ((1 - v1^2)/E1 + (1 - v2^2)/E2) [Pa].

    Raises
    ------
    Nothing.

    Source: hertz-1882.

    >>> round(contact_modulus(210e9, 0.3, 210e9, 0.3) / 1e9, 2)
    115.38
    """
    return 1 / ((1 - poisson_1**2) / young_1_pa + (1 - poisson_2**2) / young_2_pa)


def hertz_line(load_n_per_m: Number, radius_m: Number, modulus_pa: Number) -> tuple[Number, Number]:
    """Half-width and peak pressure of a cylinder on a flat.

    Parameters
    ----------
    load_n_per_m : float or array
        Load per length [N/m].
    radius_m : float or array
        Radius of the cylinder, or combined radius [m].
    modulus_pa : float or array
        Contact modulus [Pa].

    Returns
    -------
    tuple
        Half-width [m], peak pressure [Pa].

    Raises
    ------
    Nothing.

    Source: hertz-1882; check nafems-contact.

    >>> a, p = hertz_line(35e6, 0.05, contact_modulus(210e9, 0.3, 70e9, 0.3))
    >>> round(float(a) * 1e3, 2), round(float(p) / 1e6)
    (6.21, 3585)
    """
    half = np.sqrt(4 * load_n_per_m * radius_m / (np.pi * modulus_pa))
    return half, 2 * load_n_per_m / (np.pi * half)


def hertz_point(load_n: Number, radius_m: Number, modulus_pa: Number) -> tuple[Number, Number]:
    """Radius and peak pressure of a round contact, as of a sphere or of equal crossed cylinders.

    Parameters
    ----------
    load_n : float or array
        Load [N].
    radius_m : float or array
        Combined radius: R of a sphere on a flat, R/2 of two spheres, R of equal crossed cylinders [m].
    modulus_pa : float or array
        Contact modulus [Pa].

    Returns
    -------
    tuple
        Radius [m], peak pressure [Pa].

    Raises
    ------
    Nothing.

    Source: hertz-1882; check stachowiak-batchelor.

    >>> a, p = hertz_point(5.0, 0.01, contact_modulus(210e9, 0.3, 210e9, 0.3))
    >>> round(float(a) * 1e5, 2), round(float(p) / 1e6)
    (6.88, 505)
    """
    radius = np.cbrt(3 * load_n * radius_m / (4 * modulus_pa))
    return radius, 3 * load_n / (2 * np.pi * radius**2)


def hertz_approach(approach_m: Number, radius_m: Number, modulus_pa: Number) -> tuple[Number, Number]:
    """Radius and peak pressure of a round contact pressed together by a given way.

    Parameters
    ----------
    approach_m : float or array
        How far the bodies come together [m].
    radius_m : float or array
        Combined radius [m].
    modulus_pa : float or array
        Contact modulus [Pa].

    Returns
    -------
    tuple
        Radius [m], peak pressure [Pa].

    Raises
    ------
    Nothing.

    Source: hertz-1882; check code-aster-v6-04-104.

    >>> a, p = hertz_approach(0.004, 0.025, contact_modulus(20e9, 0.3, 20e9, 0.3))
    >>> round(float(a) * 1e3, 1), round(float(p) / 1e6, 1)
    (10.0, 2798.3)
    """
    radius = np.sqrt(radius_m * approach_m)
    return radius, 2 * modulus_pa * radius / (np.pi * radius_m)


def ellipse_ratio(small_radius_m: Number, large_radius_m: Number) -> Number:
    """How long the contact of two crossed cylinders is against its width.

    Parameters
    ----------
    small_radius_m : float or array
        Radius of the thinner cylinder [m].
    large_radius_m : float or array
        Radius of the thicker cylinder [m].

    Returns
    -------
    float or array
        1.0339 (R_large / R_small)^0.636 [1], within 3 % of the exact ellipse up to a ratio of 100.

    Raises
    ------
    Nothing.

    Source: hamrock-brewe-1983 (memory).

    >>> round(float(ellipse_ratio(0.00045, 0.015)), 1)
    9.6
    """
    ratio: Number = 1.0339 * (np.asarray(large_radius_m) / small_radius_m) ** 0.636
    return ratio
