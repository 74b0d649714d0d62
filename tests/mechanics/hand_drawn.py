"""Curves whose turning and tightest radius are known, and a hand that draws or taps them."""

import numpy as np


def along(curvature, length, steps=4000):
    """The curve whose curvature along its length is given."""
    s = np.linspace(0, length, steps)
    k = np.vectorize(curvature)(s)
    heading = np.concatenate([[0.0], np.cumsum((k[1:] + k[:-1]) / 2 * np.diff(s))])
    dx, dy = np.cos(heading), np.sin(heading)
    step = length / (steps - 1)
    x = np.concatenate([[0.0], np.cumsum((dx[1:] + dx[:-1]) / 2)]) * step
    y = np.concatenate([[0.0], np.cumsum((dy[1:] + dy[:-1]) / 2)]) * step
    return np.column_stack([x, y])


def pieces(*parts):
    """Straights (length, 0) and arcs (length, curvature) one after the other."""
    ends = np.cumsum([length for length, _ in parts])
    curvatures = [float(curvature) for _, curvature in parts]
    return along(lambda s: curvatures[min(int(np.searchsorted(ends, s)), len(parts) - 1)], ends[-1])


# name: (curve [m], length [m], turning [rad], tightest radius [m])
def known():
    circle = 4.0 / (2 * np.pi)
    first, last, spiral = 0.5, 0.15, 3.0
    return {
        "circle": (along(lambda s: 1 / circle, 4.0), 4.0, 2 * np.pi, circle),
        "two loops": (along(lambda s: np.pi, 4.0), 4.0, 4 * np.pi, 1 / np.pi),
        "S": (
            pieces((1.0, 0), (np.pi * 0.3, 1 / 0.3), (np.pi * 0.3, -1 / 0.3), (1.0, 0)),
            2 + 0.6 * np.pi,
            2 * np.pi,
            0.3,
        ),
        "right angle": (pieces((2.0, 0), (np.pi / 2 * 0.2, 5.0), (1.5, 0)), 3.5 + 0.1 * np.pi, np.pi / 2, 0.2),
        "loop in a straight": (pieces((1.2, 0), (0.3 * np.pi, 1 / 0.15), (1.8, 0)), 3 + 0.3 * np.pi, 2 * np.pi, 0.15),
        "spiral": (
            along(lambda s: 1 / first + (1 / last - 1 / first) * s / spiral, spiral),
            spiral,
            spiral * (1 / first + 1 / last) / 2,
            last,
        ),
        "straight": (pieces((4.0, 0)), 4.0, 0.0, np.inf),
    }


def drawn(curve, rng, tremor_px=1.0, wander=0.008, extent_px=300):
    """A finger on a phone: uneven speed, a reading every few pixels, tremor over some readings, a slow wander, whole pixels."""
    size = np.ptp(curve, axis=0).max()
    length = np.hypot(*np.diff(curve, axis=0).T).sum() / size * extent_px
    points = max(int(length / 4), 30)
    speed = np.abs(np.sin(np.linspace(0, 9, points)) + 1.4 + 0.4 * rng.standard_normal(points)).cumsum()
    at = (speed - speed[0]) / (speed[-1] - speed[0]) * (len(curve) - 1)
    seen = np.column_stack([np.interp(at, np.arange(len(curve)), axis) for axis in curve.T]) / size * extent_px
    return np.round(seen + tremor_px * smooth(rng, points, 9) + wander * extent_px * smooth(rng, points, points // 4))


def smooth(rng, points, width):
    """Noise of spread 1 that changes over so many points."""
    kernel = np.hanning(max(width, 3) + 2)
    noise = rng.standard_normal((points + len(kernel), 2))
    return np.column_stack(
        [np.convolve(axis, kernel / np.sqrt((kernel**2).sum()), "same")[:points] for axis in noise.T]
    )


def tapped(curve, rng, jitter=0.004, taps=16, extent_px=1000):
    """Taps along a photo at uneven distances, each a little beside the lead."""
    size = np.ptp(curve, axis=0).max()
    steps = rng.uniform(0.6, 1.4, taps - 1).cumsum()
    at = np.concatenate([[0.0], steps / steps[-1]]) * (len(curve) - 1)
    seen = np.column_stack([np.interp(at, np.arange(len(curve)), axis) for axis in curve.T])
    return (seen / size + jitter * rng.standard_normal((taps, 2))) * extent_px
