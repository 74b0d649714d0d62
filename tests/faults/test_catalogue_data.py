"""The shipped faults and actions: complete, in small clusters, and with sensible odds."""

from graphlib import TopologicalSorter
from pathlib import Path
from statistics import mean
from typing import get_args, get_type_hints

import pytest

from tipward.faults import Catalogue, load_catalogue, prior
from tipward.faults.loading import SHIPPED
from tipward.model import STATIONS, DriveRolls, FeedPath, Gun, Liner, Spool, TorchLead, Wire, field_names

LARGEST_CLUSTER = 5  # docs of the engine: one joint table a cluster
NAMED = """
wire-rusty wire-oxidised-aluminium wire-below-standard wire-random-wound wire-cast-out wire-helix-high wire-dusty
wire-damp wire-greasy wire-bent-length wire-run-out wire-broken-inside
spool-nut-loose spool-off-peg spool-brake-loose spool-brake-tight spool-wrong-adaptor spool-flange-bent spool-rub
drum-hood-missing drum-conduit-bad inlet-guide-worn inlet-guide-missing inlet-guide-misaligned
motor-worn gearbox-worn control-failure speed-control-lost relay-stuck-closed fuse-open thermal-cut-out supply-weak
roll-key-sheared roll-screw-lost gear-stripped gun-motor-weak
groove-form-wrong groove-small groove-large groove-side-wrong pressure-low pressure-high arm-unlatched spring-tired
groove-worn rolls-dirty rolls-misaligned idler-seized idler-worn pairs-unequal middle-guide-missing gun-pressure-wrong
outlet-guide-missing outlet-guide-worn outlet-guide-far
liner-bore-small liner-bore-large liner-material-wrong liner-dirty liner-worn liner-kinked liner-short liner-long
liner-unseated liner-end-burred liner-clamp-loose liner-clamp-tight liner-metal-carried liner-softened
lead-too-long lead-tight-loops lead-folded lead-crushed neck-bent neck-worn diffuser-blocked neck-joint-loose
tip-bore-small tip-bore-large tip-worn tip-fused tip-spatter tip-steel-for-aluminium tip-aluminium-for-steel tip-loose
nozzle-spatter-bridge nozzle-insulator-gone trigger-dead control-lead-broken torch-plug-bad torch-not-home
polarity-wrong work-clamp-bad work-clamp-on-paint work-lead-bad power-connection-loose
feed-speed-high feed-speed-low burn-back-long run-in-wrong mode-wrong gas-missing gas-wrong stick-out-wrong
push-pull-out-of-step gun-not-drivable wrong-torch-selected
""".split()  # noqa: SIM905
PLAIN = FeedPath(
    wire=Wire(wire_class="er70s-6", diameter_m=0.0009),
    spool=Spool(form="S300"),
    drive_rolls=DriveRolls(groove="v", pairs=1),
    liner=Liner(material="steel", bore_m=0.0015),
    torch_lead=TorchLead(length_m=4.0),
)


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return load_catalogue()


def expected_faults(catalogue: Catalogue, path: FeedPath) -> float:
    """Mean number of faults in a case on this path, victims of other faults counted once more."""
    own = {fault.id: prior(fault, path) for fault in catalogue.faults.values()}
    victims = sum(own[f.id] * item.probability for f in catalogue.faults.values() for item in f.leads_to)
    return sum(own.values()) + victims


def clusters(catalogue: Catalogue) -> list[set[str]]:
    """Groups of faults joined by leads_to and excludes, followed all the way."""
    groups = {name: {name} for name in catalogue.faults}
    for fault in catalogue.faults.values():
        for other in [*fault.excludes, *(item.fault for item in fault.leads_to)]:
            merged = groups[fault.id] | groups[other]
            for name in merged:
                groups[name] = merged
    return list(groups.values())


def test_at_least_eighty_faults_and_every_named_one(catalogue: Catalogue) -> None:
    assert len(catalogue.faults) >= 80
    assert len(NAMED) == len(set(NAMED)) == 107
    assert set(NAMED) <= set(catalogue.faults)


def test_every_station_has_faults_and_actions(catalogue: Catalogue) -> None:
    assert {fault.station for fault in catalogue.faults.values()} == set(STATIONS)
    assert {action.station for action in catalogue.actions.values()} == set(STATIONS)


def test_a_station_stands_in_its_own_file(catalogue: Catalogue) -> None:
    for table in ("fault", "action"):
        for item in (catalogue.faults if table == "fault" else catalogue.actions).values():
            assert catalogue.places[f"{table} {item.id}"] in {f"{item.station}.toml", f"{item.station}-{table}s.toml"}


def test_clusters_hold_at_most_five_faults(catalogue: Catalogue) -> None:
    sizes = {frozenset(group): len(group) for group in clusters(catalogue)}
    assert max(sizes.values()) <= LARGEST_CLUSTER
    assert max(sizes.values()) > 1


def test_no_fault_leads_back_to_itself(catalogue: Catalogue) -> None:
    graph = {fault.id: {item.fault for item in fault.leads_to} for fault in catalogue.faults.values()}
    assert len(list(TopologicalSorter(graph).static_order())) == len(graph)


def test_excludes_are_written_on_both_sides(catalogue: Catalogue) -> None:
    for fault in catalogue.faults.values():
        for other in fault.excludes:
            assert fault.id in catalogue.faults[other].excludes, f"{other} does not exclude {fault.id}"


def test_two_faults_that_set_one_field_exclude_each_other(catalogue: Catalogue) -> None:
    setting = [(f, c.field) for f in catalogue.faults.values() for c in f.changes if c.op == "="]
    for fault, field in setting:
        for other, same in setting:
            assert other is fault or same != field or other.id in fault.excludes


def test_a_plain_steel_path_has_one_and_a_half_faults_or_so(catalogue: Catalogue) -> None:
    assert 1.2 <= expected_faults(catalogue, PLAIN) <= 2.0


@pytest.mark.parametrize(
    "path",
    [
        FeedPath(),
        FeedPath(wire=Wire(wire_class="er4043", diameter_m=0.0012)),
        FeedPath(wire=Wire(wire_class="e71t-11", diameter_m=0.0012)),
        FeedPath(wire=Wire(wire_class="er5356"), gun=Gun(kind="push-pull")),
        FeedPath(wire=Wire(wire_class="er5356"), gun=Gun(kind="spool gun")),
        FeedPath(spool=Spool(form="drum", hub="drum")),
    ],
    ids=["blank", "aluminium", "self-shielded", "push-pull", "spool gun", "drum"],
)
def test_other_paths_stay_in_the_same_order(catalogue: Catalogue, path: FeedPath) -> None:
    assert 1.0 <= expected_faults(catalogue, path) <= 2.5


@pytest.mark.parametrize(
    ("fault", "path"),
    [
        ("drum-hood-missing", FeedPath(spool=Spool(form="drum"))),
        ("gun-pressure-wrong", FeedPath(gun=Gun(kind="push-pull"))),
        ("push-pull-out-of-step", FeedPath(gun=Gun(kind="push-pull"))),
        ("gun-motor-weak", FeedPath(gun=Gun(kind="push-pull"))),
        ("pairs-unequal", FeedPath(drive_rolls=DriveRolls(pairs=2))),
        ("tip-steel-for-aluminium", FeedPath(wire=Wire(wire_class="er5356"))),
        ("wire-oxidised-aluminium", FeedPath(wire=Wire(wire_class="er4043"))),
    ],
)
def test_faults_of_special_rigs_wait_for_their_rig(catalogue: Catalogue, fault: str, path: FeedPath) -> None:
    assert prior(catalogue.faults[fault], PLAIN) < 0.002
    assert prior(catalogue.faults[fault], path) > 0.012


def test_soft_thin_and_long_raise_what_they_should(catalogue: Catalogue) -> None:
    soft = FeedPath(wire=Wire(wire_class="er4043"))
    thin = FeedPath(wire=Wire(diameter_m=0.0006))
    long = FeedPath(torch_lead=TorchLead(length_m=5.0))
    for path in (soft, thin, long):
        fault = catalogue.faults["lead-too-long"]
        assert prior(fault, path) > 1.5 * prior(fault, FeedPath())


def test_every_change_acts_on_a_numeric_field(catalogue: Catalogue) -> None:
    numeric = numeric_fields()
    fields = {change.field for fault in catalogue.faults.values() for change in fault.changes}
    assert fields <= numeric
    assert len(fields) >= 20


def numeric_fields() -> set[str]:
    """Fields of the path whose declared type holds a float."""
    found = set()
    for name in field_names():
        part, field = name.split(".")
        hint = get_type_hints(type(getattr(FeedPath(), part)))[field]
        if float in {hint, *get_args(hint)}:
            found.add(name)
    return found


def test_multiplied_changes_stay_above_nothing(catalogue: Catalogue) -> None:
    for fault in catalogue.faults.values():
        for change in fault.changes:
            assert change.op == "+" or change.low > 0, f"{fault.id} makes {change.field} nothing or less"
            assert change.low < change.high


def test_every_fault_has_an_action_that_mostly_works(catalogue: Catalogue) -> None:
    best = {
        name: max(
            item.success for action in catalogue.actions_for(name) for item in action.clears if item.fault == name
        )
        for name in catalogue.faults
    }
    assert min(best.values()) >= 0.9


def test_sealed_parts_have_a_service_action(catalogue: Catalogue) -> None:
    sealed = [fault for fault in catalogue.faults.values() if fault.service_only]
    assert {"motor-worn", "gearbox-worn", "control-failure"} <= {fault.id for fault in sealed}
    for fault in sealed:
        assert any(action.kind == "service" for action in catalogue.actions_for(fault.id)), fault.id


def test_one_action_may_clear_many(catalogue: Catalogue) -> None:
    assert len(catalogue.actions["replace-liner"].clears) >= 8
    assert {"tip-worn", "tip-fused", "tip-spatter"} <= {c.fault for c in catalogue.actions["fit-new-tip"].clears}
    torch = {c.fault for c in catalogue.actions["replace-torch"].clears}
    assert {"liner-dirty", "trigger-dead", "control-lead-broken", "lead-crushed"} <= torch


def test_less_or_more_pressure_is_never_the_last_word(catalogue: Catalogue) -> None:
    for name in ("set-pressure", "set-pairs-equal", "set-gun-pressure"):
        assert "find what asked" in catalogue.actions[name].instructions


def test_causes_named_by_the_trade_lead_to_their_victims(catalogue: Catalogue) -> None:
    chains = {
        ("wire-rusty", "liner-dirty"),
        ("pressure-high", "liner-dirty"),
        ("lead-tight-loops", "pressure-high"),
        ("tip-loose", "tip-fused"),
        ("tip-loose", "tip-worn"),
        ("burn-back-long", "tip-fused"),
        ("outlet-guide-missing", "wire-bent-length"),
    }
    assert chains <= {(f.id, item.fault) for f in catalogue.faults.values() for item in f.leads_to}


def test_every_complaint_has_a_fault_behind_it(catalogue: Catalogue) -> None:
    assert set(catalogue.complaints) == {name for fault in catalogue.faults.values() for name in fault.complaints}


def test_every_fault_is_told_by_some_complaint(catalogue: Catalogue) -> None:
    assert all(fault.complaints for fault in catalogue.faults.values())
    assert mean(len(fault.complaints) for fault in catalogue.faults.values()) >= 3


def test_what_proof_may_miss_is_known_and_not_everything(catalogue: Catalogue) -> None:
    missed = [fault for fault in catalogue.faults.values() if fault.seen_by_proof < 0.9]
    assert 0 < len(missed) < len(catalogue.faults) / 2


def test_probabilities_are_graded_judgement(catalogue: Catalogue) -> None:
    assert {fault.prior_grade for fault in catalogue.faults.values()} == {"judgement"}


def test_actions_on_the_mains_side_are_for_qualified_persons(catalogue: Catalogue) -> None:
    for action in catalogue.actions.values():
        if action.skill == "qualified":
            assert {"qualified-only", "local-codes"} <= set(action.cautions)


def test_actions_on_a_hot_gun_say_so(catalogue: Catalogue) -> None:
    for action in catalogue.actions.values():
        if action.station in {"contact-tip", "nozzle"}:
            assert "hot" in action.cautions


def test_instructions_are_numbered_steps(catalogue: Catalogue) -> None:
    for action in catalogue.actions.values():
        lines = action.instructions.splitlines()
        assert [line.split(".")[0] for line in lines] == [str(number + 1) for number in range(len(lines))], action.id


def test_data_files_stay_short(catalogue: Catalogue) -> None:
    stations = [*SHIPPED.glob("*-actions.toml"), *(SHIPPED / f"{name}.toml" for name in STATIONS)]
    assert max(line_count(path) for path in stations) <= 400


def line_count(path: Path) -> int:
    """Lines of a file."""
    return len(path.read_text("utf-8").splitlines())
