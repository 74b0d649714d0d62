"""The judgement of a case of the shipped catalogue by a general library: every cluster and every finding as a Bayesian network.

A cluster is one variable over its courses through the repairs. An abnormal finding is a chain: each cluster that it touches
shows an outcome of its own, below, at or above what was found, and the most salient so far is handed on; the last is what was
seen. A normal one says of each cluster by itself that it showed nothing.
pyAgrum (lazy propagation) knows nothing of signed products, recursions or sampling.
"""

import numpy as np

from tipward.diagnosis.network import Network
from tipward.diagnosis.states import groups
from tipward.diagnosis.terms import Evidence, Term

BELOW, AT, ABOVE = range(3)


def marginals_by_pyagrum(network: Network, found: Evidence) -> np.ndarray:
    """Probability of each fault now [1], readings left aside."""
    import pyagrum as gum

    net = gum.BayesNet()
    plain = [term for term in found.terms if term.bottom_leak == 0]
    clusters = []
    for group in groups(network.clusters, found.mendings):
        for row, faults in enumerate(group.faults.tolist()):
            real = group.prior[row] > 0
            node = net.add(gum.LabelizedVariable(f"cluster{len(clusters)}", "", max(int(real.sum()), 1)))
            weight = group.prior[row][real] * _normal(plain, faults, group.present[row][real])
            net.cpt(node).fillWith((weight / weight.sum()).tolist())
            clusters.append((node, faults, group.present[row][real]))
    seen = {}
    for number, term in enumerate(term for term in found.terms if term.bottom_leak > 0):
        last = _chain(gum, net, number, term, clusters)
        seen[last] = AT
    inference = gum.LazyPropagation(net)
    inference.setEvidence(seen)
    inference.makeInference()
    chances = np.zeros(len(network.ids))
    for node, faults, present in clusters:
        chances[faults] = np.asarray(inference.posterior(node).toarray()) @ present[:, :, -1]
    return chances


def _normal(plain: list[Term], faults: list[int], present: np.ndarray) -> np.ndarray:
    """What the normal answers say of each state of a cluster: one product, since all of it must show nothing."""
    said = np.ones(len(present))
    for term in plain:
        for place, fault in enumerate(faults):
            for k in np.flatnonzero(term.faults == fault):
                said *= np.where(present[:, place, term.epoch], term.top[k], 1.0)
    return said


def _chain(gum, net, number: int, term: Term, clusters) -> int:
    """The chain of one finding; gives back its last node."""
    last = net.add(gum.LabelizedVariable(f"finding{number}", "", 3))
    net.cpt(last).fillWith(_shares(term.top_leak, term.bottom_leak))
    where = {int(fault): place for place, fault in enumerate(term.faults)}
    for step, (cluster, faults, present) in enumerate(clusters):
        near = [(place, where[fault]) for place, fault in enumerate(faults) if fault in where]
        if not near:
            continue
        node = net.add(gum.LabelizedVariable(f"finding{number}_{step}", "", 3))
        net.addArc(last, node)
        net.addArc(cluster, node)
        for state, on in enumerate(present[:, :, term.epoch]):
            top = float(np.prod([term.top[k] for place, k in near if on[place]]))
            bottom = float(np.prod([term.bottom[k] for place, k in near if on[place]]))
            own = _shares(top, bottom)
            for before in range(3):
                after = [sum(own[: before + 1]) if seen == before else own[seen] * (seen > before) for seen in range(3)]
                net.cpt(node)[{net.variable(last).name(): before, net.variable(cluster).name(): state}] = after
        last = node
    return last


def _shares(top: float, bottom: float) -> list[float]:
    """Chances that what is shown is below, at or above what was found."""
    return [bottom, top - bottom, 1 - top]
