"""The next best step, and the proof: choosing and proving, on what diagnosis believes."""

from tipward.planning.board import set_out
from tipward.planning.choosing import next_step, offers
from tipward.planning.describing import describe_check, describe_fix, fixes
from tipward.planning.proving import LEFT_LIMIT, PROOF_MINUTES, closing_belief, proof_passed, prove, targets

__all__ = [
    "LEFT_LIMIT",
    "PROOF_MINUTES",
    "closing_belief",
    "describe_check",
    "describe_fix",
    "fixes",
    "next_step",
    "offers",
    "proof_passed",
    "prove",
    "set_out",
    "targets",
]
