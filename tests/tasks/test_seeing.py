"""What a case is seen by: the proof and the suspicions tell the same of what is left."""

from pathlib import Path

from tipward import tasks
from tipward.model import Finding, Place, Repair, read_setup

EXAMPLES = Path(__file__).parents[2] / "examples"


def test_proof_and_suspicions_tell_the_same_of_what_is_left(tmp_path):
    shop, rig = tasks.open_shop(tmp_path / "shop.db"), read_setup(EXAMPLES / "rig-steel-0.9.toml")
    case = tasks.open_case(shop, rig, ("slips-or-surges",), place=Place("machine", ("spring scale",)))
    tasks.add(shop, case.id, Finding("pull-torch-as-used", readings=(24.0,)))
    tasks.add(shop, case.id, Repair("blow-out-liner"))
    view = tasks.view(shop, case.id)
    assert view.judgement.method == "sampled sets", "the quick belief would be as good as the stated one"
    assert view.proof.left_probability == 1 - view.judgement.all_clear
    told = {item.fault: item.probability for item in view.judgement.suspicions}
    assert view.proof.left and all(item.probability == told[item.fault] for item in view.proof.left)
