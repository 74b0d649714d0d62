"""Which parts suit which wire: fit of a path."""

from tipward.matching.fitting import fit

__all__ = ["fit"]
