"""Which parts suit which wire: the fit of a path, the recommended set-up, and which wires some parts serve."""

from tipward.matching.fitting import fit
from tipward.matching.recommending import recommend
from tipward.matching.serving import serves

__all__ = ["fit", "recommend", "serves"]
