"""The catalogue of what goes wrong: faults, checks, actions, complaints, as data that is checked on load."""

from tipward.faults.catalogue import Catalogue, holds, prior
from tipward.faults.facts import facts, tables
from tipward.faults.loading import build_catalogue, load_catalogue
from tipward.faults.nouns import (
    PROOF,
    PROOF_OUTCOMES,
    Action,
    After,
    Caution,
    Change,
    Check,
    Clears,
    Complaint,
    Condition,
    Fault,
    Outcome,
    Part,
    Reading,
    SetUp,
    Span,
    Synonym,
)
from tipward.faults.words import understand

__all__ = [
    "PROOF",
    "PROOF_OUTCOMES",
    "Action",
    "After",
    "Catalogue",
    "Caution",
    "Change",
    "Check",
    "Clears",
    "Complaint",
    "Condition",
    "Fault",
    "Outcome",
    "Part",
    "Reading",
    "SetUp",
    "Span",
    "Synonym",
    "build_catalogue",
    "facts",
    "holds",
    "load_catalogue",
    "prior",
    "tables",
    "understand",
]
