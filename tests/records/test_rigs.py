"""Rigs and their baselines."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from nouns import of

from tipward.foundation import InputError, NotKnownError
from tipward.model import Baseline, FeedPath, Rig, TorchLead
from tipward.records import Casebook

AT = datetime(2026, 3, 4, 5, 6, 7, tzinfo=UTC)


def test_a_rig_is_kept_as_it_was(casebook: Casebook) -> None:
    @settings(max_examples=20, deadline=None, suppress_health_check=list(HealthCheck))
    @given(path=of(FeedPath))
    def kept(path: FeedPath) -> None:
        rig = Rig("bay-1", "Bay 1", path, "Mill")
        casebook.save_rig(rig)
        assert casebook.rig("bay-1") == rig
        assert casebook.rigs() == (rig,)

    kept()


def test_rigs_come_by_id(casebook: Casebook) -> None:
    for name in "bac":
        casebook.save_rig(Rig(name, name, FeedPath()))
    assert [rig.id for rig in casebook.rigs()] == ["a", "b", "c"]


@pytest.mark.parametrize("wrong", ["gone", "a\0b", "\ud800"])
def test_a_rig_that_is_not_there_names_those_that_are(casebook: Casebook, wrong: str) -> None:
    with pytest.raises(NotKnownError, match="there are: none yet"):
        casebook.rig(wrong)
    casebook.save_rig(Rig("bay-1", "Bay 1", FeedPath()))
    with pytest.raises(NotKnownError, match="there are: bay-1"):
        casebook.rig(wrong)
    assert casebook.cases(rig=wrong) == casebook.baselines(wrong) == ()


def test_a_rig_that_could_not_be_read_back_is_refused(casebook: Casebook) -> None:
    with pytest.raises(InputError, match="shorter than its bends"):
        casebook.save_rig(Rig("bay-1", "Bay 1", FeedPath(torch_lead=TorchLead(length_m=1, turns=2, turn_radius_m=1))))
    with pytest.raises(InputError, match=r"rig\.id: is empty"):
        casebook.save_rig(Rig("", "Bay 1", FeedPath()))
    assert casebook.rigs() == ()


def test_baselines_come_oldest_first(casebook: Casebook) -> None:
    casebook.save_rig(Rig("bay-1", "Bay 1", FeedPath()))
    for days in (2, 0, 1):
        casebook.save_baseline("bay-1", {"pull-off-spool": 4.5 + days, "feed-ratio": 1}, AT + timedelta(days=days))
    assert casebook.baselines("bay-1") == tuple(
        Baseline("bay-1", AT + timedelta(days=days), {"pull-off-spool": 4.5 + days, "feed-ratio": 1.0})
        for days in (0, 1, 2)
    )
    casebook.save_rig(Rig("bay-1", "Bay 1, new torch", FeedPath()))
    assert len(casebook.baselines("bay-1")) == 3


def test_a_baseline_that_cannot_be_kept(casebook: Casebook) -> None:
    with pytest.raises(NotKnownError, match="no rig 'bay-1'; there are: none yet"):
        casebook.save_baseline("bay-1", {"feed-ratio": 1.0}, AT)
    casebook.save_rig(Rig("bay-1", "Bay 1", FeedPath()))
    with pytest.raises(InputError, match="give the moment with its zone"):
        casebook.save_baseline("bay-1", {"feed-ratio": 1.0}, datetime(2026, 1, 1))
    with pytest.raises(InputError, match="use finite numbers"):
        casebook.save_baseline("bay-1", {"feed-ratio": float("nan")}, AT)
    with pytest.raises(InputError, match="are empty; give at least one"):
        casebook.save_baseline("bay-1", {}, AT)
    assert casebook.baselines("bay-1") == ()
