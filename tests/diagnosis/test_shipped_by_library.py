"""Cases of the shipped catalogue, repairs included, judged by pyAgrum: what we state is the same."""

import sys
from pathlib import Path

import numpy as np
import pytest

from tipward.diagnosis.believing import believe
from tipward.faults import load_catalogue
from tipward.model import Case

pytest.importorskip("pyagrum", reason="pyAgrum is a development dependency")
sys.path.insert(0, str(Path(__file__).parents[2]))
from benchmarks.catalogue import rigs
from benchmarks.reference import marginals_by_pyagrum
from benchmarks.session import lead
from benchmarks.world import everything_at_hand, random_case

MOST_DOUBLING = 4


@pytest.mark.parametrize("seed", [1, 2])
def test_what_is_stated_equals_lazy_propagation(seed):
    catalogue = load_catalogue()
    path = rigs()[seed]
    rng = np.random.default_rng(880 + seed)
    rig, book = random_case(catalogue, path, rng, place=everything_at_hand(catalogue))
    lead(catalogue, rig, book)
    compared = 0
    for number in range(1, len(book.case.pages), 4):
        case = Case("c", book.case.pages[:number])
        belief = believe(catalogue, case, exact=True)
        if belief.found.measured or sum(term.bottom_leak > 0 for term in belief.found.terms) > MOST_DOUBLING:
            break
        theirs = marginals_by_pyagrum(belief.network, belief.found)
        assert np.abs(belief.after.marginals() - theirs).max() <= 1e-9
        compared += 1
    assert compared >= 1
