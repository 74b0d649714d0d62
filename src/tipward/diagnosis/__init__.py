"""Judgement over all combinations of causes."""

from tipward.diagnosis.judging import judge

__all__ = ["judge"]
