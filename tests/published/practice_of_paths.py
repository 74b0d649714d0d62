"""Rows of common_practice.toml that need no suspicion: fit, force, words, proof, change of wire."""

from practice import path_of, rig

from tipward import tasks
from tipward.model import ProofTest, Wire


def heard(practice, words):
    return tasks.open_case(practice.shop, path_of({}), words=words).opened().complaints


def words(practice, row):
    told = heard(practice, row["says"])
    assert row["complaint"] in told, told


def same_words(practice, row):
    told = {heard(practice, said) for said in row["says"]}
    assert len(told) == 1 and () not in told, told


def mismatch(practice, row):
    plain, changed = tasks.fit(path_of(row, "none")), tasks.fit(path_of(row))
    assert row["fault"] not in {item.fault for item in plain.mismatches}
    assert row["fault"] in {item.fault for item in changed.mismatches}, changed.mismatches


def fits(practice, row):
    assert tasks.fit(path_of(row)).mismatches == ()


def advice(practice, row):
    told = {line.line: line.text for line in tasks.recommend(path_of(row)).lines}
    assert row["text"] in told[row["line"]], told


def push(row, key):
    return tasks.force(path_of(row, key), extrapolate=True)


def force_up(practice, row):
    before, after = push(row, "from"), push(row, "with")
    assert after.push_n.mid > before.push_n.mid + row.get("least", 0.05), (before.push_n.mid, after.push_n.mid)


def force_down(practice, row):
    before, after = push(row, "from"), push(row, "with")
    assert after.push_n.mid < before.push_n.mid - 0.05, (before.push_n.mid, after.push_n.mid)


def nearer(practice, row):
    """The margin to a limit shrinks by a tenth or more (or by what the row says)."""
    sides = [push(row, key).limits for key in ("from", "with")]
    before, after = (next(item.margin.mid for item in limits if item.name == row["limit"]) for limits in sides)
    assert after < row.get("share", 0.9) * before, (before, after)


def softer(practice, row):
    """Soft wire of a size costs more push than steel of the same size in the same path."""
    data = {**rig(row["rig"]), "wire": {**rig(row["rig"])["wire"], "wire_class": "er70s-6"}}
    soft, steel = path_of(row), path_of({"rig": row["rig"], "with": {"wire": data["wire"]}})
    margins = [
        next(item.margin.mid for item in tasks.force(path, extrapolate=True).limits if item.name == "collapse")
        for path in (soft, steel)
    ]
    assert margins[0] < margins[1], margins


def gain(practice, row):
    told = {item.change: item.saves_n for item in tasks.gains(path_of(row))}
    assert told.get(row["change"], 0.0) > 0, told


def wire_change(practice, row):
    told = tasks.change_wire(path_of(row), Wire(*row["wire"]))
    musts = [f"{item.part} {item.now} {item.wanted}" for item in told.steps if item.must_change]
    assert any(row["text"] in text.lower() for text in musts), musts


def targets(practice, row, **more):
    return {item.id: item for item in practice.of(row, **more).proof.targets}


def target(practice, row):
    told = targets(practice, row)
    wanted = told[row["target"]]
    assert (row.get("low", wanted.low), row.get("high", wanted.high)) == (wanted.low, wanted.high)
    if "twice" in row:
        assert wanted.low >= 2 * told[row["twice"]].low


def reading(row):
    return ProofTest(tuple((name, tuple(values)) for name, values in row["read"].items()))


def proof(practice, row):
    told = targets(practice, row, entries=(reading(row),))[row["target"]]
    assert told.met is row["met"], told


def proof_fails(practice, row):
    """A failed proof takes back the belief that all is well."""
    before, after = practice.of(row), practice.of(row, entries=(reading(row),))
    assert after.judgement.all_clear < 0.5 * before.judgement.all_clear
    assert not after.proof.proved


def unproved(practice, row):
    told = practice.of(row).proof
    assert not told.proved and told.missing
    assert tasks.close_case(practice.shop, practice.open(path_of(row), row["says"], ()).id).closed().how == "open end"


def left(practice, row):
    told = practice.of(row).proof
    assert told.left and told.left_probability >= max(item.probability for item in told.left)


def openly(practice, row):
    view = practice.of(row)
    name = next(item.name for item in view.judgement.suspicions if item.fault == row["fault"])
    assert any(text.startswith(name) for text in view.proof.openly), view.proof.openly
