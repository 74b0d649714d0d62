"""What the room computes with: SI floats or arrays of them, broadcast against each other."""

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Number = float | Floats
Values = Mapping[str, Number]
