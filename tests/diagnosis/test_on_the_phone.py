"""On the phone little can be looked at: nothing is mended, proved or sent on a hunch, the case goes on at the machine."""

from datetime import datetime

import pytest

from tipward.faults import load_catalogue
from tipward.model import Cannot, Case, FeedPath, Opened, Page, Place
from tipward.planning import next_step, set_out


def asked_out(at):
    """What is proposed, step by step, where no check can be done and no proposed repair either."""
    catalogue = load_catalogue()
    entries = [Opened(FeedPath(), ("slips-or-surges",), Place(at))]

    def case():
        return Case("c", tuple(Page(n, f"k{n}", datetime(2026, 1, 1), entry) for n, entry in enumerate(entries, 1)))

    entries += [Cannot(name) for name in set_out(catalogue, case()).checks]
    steps = [next_step(catalogue, case())]
    while steps[-1].fix is not None and len(steps) < 60:
        entries.append(Cannot(steps[-1].fix.action))
        steps.append(next_step(catalogue, case()))
    return steps


def test_nothing_more_to_ask_on_the_phone_goes_on_at_the_machine():
    *before, last = asked_out("phone")
    assert (last.what, last.fix) == ("service", None) and "go on at the machine" in last.why
    assert all(step.what == "fix" and step.fix.minutes < 20 for step in before)


@pytest.mark.parametrize("at", ["counter", "machine"])
def test_where_the_parts_are_at_hand_it_is_mended_or_proved(at):
    assert asked_out(at)[0].what in {"fix", "prove"}
