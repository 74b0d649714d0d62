"""What goes in comes out: every kind of entry, on both databases, to the last digit."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from nouns import KINDS, entries

from tipward.foundation import InputError
from tipward.model import Entry, FeedPath, Finding, Opened, Piece, ProofTest, Repair, TorchLead
from tipward.records import Casebook, open_casebook

SLOW_FIXTURE = [HealthCheck.function_scoped_fixture, HealthCheck.too_slow]


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.__name__)
def test_every_kind_of_entry_is_kept_as_it_was(casebook: Casebook, kind: type) -> None:
    numbers = iter(range(10_000))
    home = casebook.new_case(Opened(FeedPath(), ()), "home")

    @settings(max_examples=25, deadline=None, suppress_health_check=SLOW_FIXTURE)
    @given(entry=entries(kind))
    def kept(entry: Entry) -> None:
        key = f"key-{next(numbers)}"
        if isinstance(entry, Opened):
            case_id = casebook.new_case(entry, key).id
        else:
            case_id = casebook.append(home.id, entry, key).id
        page = casebook.case(case_id).pages[-1]
        assert (page.entry, page.key) == (entry, key)

    kept()


@settings(max_examples=30, deadline=None, suppress_health_check=SLOW_FIXTURE)
@given(pages=st.lists(st.one_of(*map(entries, KINDS[1:])), max_size=6), first=entries(Opened))
def test_a_case_reads_back_equal_to_the_one_that_append_gave(pages: list[Entry], first: Opened) -> None:
    with open_casebook(":memory:") as casebook:
        case = casebook.new_case(first, "first")
        for number, entry in enumerate(pages):
            case = casebook.append(case.id, entry, f"key-{number}", author="anna")
        assert casebook.case(case.id) == case
        assert [page.sequence for page in case.pages] == list(range(1, len(pages) + 2))
        row = casebook.cases()[0]
        closed = case.closed()
        assert (row.closed, row.pages) == (closed.how if closed else "", len(case.pages))


def test_odd_but_honest_text_is_kept(casebook: Casebook) -> None:
    words = 'Ø 0,9 mm — „ruckelt“ \\u0000 🔧 \u2028 "quoted" \'; DROP TABLE pages; --'
    case = casebook.new_case(Opened(FeedPath(), (), words=words, customer=words, rig=words), "key", author=words)
    kept = casebook.case(case.id)
    assert kept.opened().words == kept.pages[0].author == casebook.cases()[0].customer == words


@pytest.mark.parametrize(
    ("entry", "says"),
    [
        (Finding("pull-off-spool", readings=(float("nan"),)), "use finite numbers"),
        (ProofTest((("feed-ratio", (float("inf"),)),)), "use finite numbers"),
        (Finding("look-hub", note="a\0b"), "holds a NUL character"),
        (Finding("look-hub", note="\ud800"), "use finite numbers and plain text"),
        (
            Repair("x", path=FeedPath(torch_lead=TorchLead(length_m=1, turns=2, turn_radius_m=1))),
            "shorter than its bends",
        ),
        (Repair("x", path=FeedPath(torch_lead=TorchLead(route=(Piece(),)))), "says too little"),
        (Opened(FeedPath(), ()), "open a new case instead"),
    ],
)
def test_what_could_not_be_read_back_is_refused_and_nothing_is_written(
    casebook: Casebook, entry: Entry, says: str
) -> None:
    case = casebook.new_case(Opened(FeedPath(), ()), "key")
    with pytest.raises(InputError, match=says):
        casebook.append(case.id, entry, "second")
    assert casebook.case(case.id) == case


def test_an_empty_key_is_refused(casebook: Casebook) -> None:
    with pytest.raises(InputError, match="key: is empty"):
        casebook.new_case(Opened(FeedPath(), ()), "")
    assert casebook.cases() == ()
