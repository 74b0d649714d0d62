"""Findings in words, for reasons and doubts."""

from tipward.diagnosis.terms import Measured, Term
from tipward.faults import PROOF, Catalogue
from tipward.foundation import show_quantity
from tipward.model import Case


def finding_text(catalogue: Catalogue, case: Case, item: Term | Measured) -> str:
    """One line that says what was found.

    Parameters
    ----------
    catalogue : Catalogue
        Names of checks, outcomes and complaints.
    case : Case
        The case.
    item : Term or Measured
        The finding.

    Returns
    -------
    str
        For example "Look at the hub: the nut is loose".

    Raises
    ------
    Nothing.

    Source: design (docs/screens).

    >>> from tipward.faults import build_catalogue
    >>> from tipward.model import FeedPath
    >>> finding_text(build_catalogue([]), Case("c"), Measured(1, "pull", 0, (4.0,), FeedPath()))
    'pull: 4'
    """
    if isinstance(item, Measured):
        check = catalogue.checks.get(item.check)
        unit = check.reading.unit if check and check.reading else ""
        shown = ", ".join(
            "would not move" if value == float("inf") else show_quantity(value, unit) for value in item.readings
        )
        return f"{check.name if check else item.check}: {shown}"
    if item.name.startswith("says:"):
        return f"Customer says: {catalogue.complaints[item.name.removeprefix('says:')].name}"
    if item.name.startswith("match:"):
        fault = catalogue.faults[item.name.removeprefix("match:")]
        return f"From the set-up: {fault.name}"
    if item.name == PROOF:
        return "Proof: passed" if item.bottom_leak == 0 else "Proof: failed"
    check = catalogue.check(item.name)
    for page in case.pages:
        if page.sequence == item.page:
            said = {outcome.id: outcome.text for outcome in check.outcomes}
            return f"{check.name}: {said.get(getattr(page.entry, 'outcome', ''), '')}"
    return check.name
