"""The healthy readings of a rig, for the proof."""

from collections.abc import Mapping

from tipward.model import (
    Case,
)
from tipward.tasks.shop import Shop


def baseline_of(shop: Shop, case: Case) -> Mapping[str, float]:
    rig = case.opened().rig
    found = shop.book.baselines(rig) if rig else ()
    return dict(found[-1].readings) if found else {}
