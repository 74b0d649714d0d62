"""Judgement over all combinations of causes, the next best step, and the proof."""

from tipward.diagnosis.judging import judge
from tipward.diagnosis.planning import describe_check, describe_fix, fixes, next_step, set_out
from tipward.diagnosis.proving import LEFT_LIMIT, PROOF_MINUTES, proof_passed, prove, targets

__all__ = [
    "LEFT_LIMIT",
    "PROOF_MINUTES",
    "describe_check",
    "describe_fix",
    "fixes",
    "judge",
    "next_step",
    "proof_passed",
    "prove",
    "set_out",
    "targets",
]
