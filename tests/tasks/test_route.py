"""The cost of a lead as it lies: drawn, in loops, and from a file."""

import json

import numpy as np
import pytest

from tipward import tasks
from tipward.foundation import InputError
from tipward.model import FeedPath, TorchLead, Wire

PATH = FeedPath(wire=Wire("er70s-6", 0.0009), torch_lead=TorchLead(length_m=3.0, turns=4, turn_radius_m=0.1))


def loop(radius=0.15, length=4.0, points=400):
    """One loop in the middle of a straight, and its points."""
    half = (length - 2 * np.pi * radius) / 2
    s = np.linspace(0, length, points)
    angle = np.clip((s - half) / radius, 0, 2 * np.pi)
    x = np.where(s < half, s, half + radius * np.sin(angle) + np.maximum(s - half - 2 * np.pi * radius, 0))
    return np.column_stack([x, radius * (1 - np.cos(angle))]).tolist()


def test_a_drawn_loop_costs_what_the_same_loop_in_words_costs():
    drawn, said = tasks.drawn_lead(PATH, loop(), 4.0), tasks.looped_lead(PATH, 4.0, 1.0, 0.15)
    assert drawn.turns == pytest.approx(1.0, abs=0.03)
    assert drawn.tightest_radius_m == pytest.approx(0.15, rel=0.05)
    assert drawn.push_n.mid == pytest.approx(said.push_n.mid, rel=0.05)
    assert said.push_n.mid - said.straight_n.mid == pytest.approx(said.bends[0].cost_n.mid, rel=0.1)


def test_the_old_lie_of_the_lead_is_gone_and_the_length_is_the_new_one():
    lead = tasks.drawn_lead(PATH, loop(), 4.0).path.torch_lead
    assert lead.length_m == 4.0 and lead.turns is None and lead.turn_radius_m is None
    assert len(lead.route) == 3


def test_the_costliest_bend_is_the_one_that_turns_furthest():
    points = [*loop(), *([4.0 - 0.3 * np.pi + x, y] for x, y in ((0.2, 0.02), (0.4, 0.1), (0.55, 0.25), (0.6, 0.4)))]
    cost = tasks.drawn_lead(PATH, points, 4.6)
    assert len(cost.bends) == 2 and cost.costliest == 0
    assert cost.bends[0].cost_n.mid > cost.bends[1].cost_n.mid > 0


def test_no_loop_and_a_straight_drawing_cost_nothing():
    for cost in (tasks.looped_lead(PATH, 4.0, 0.0, 0.15), tasks.drawn_lead(PATH, [(0, 0), (1, 0), (5, 0)], 4.0)):
        assert cost.bends == () and cost.costliest is None and cost.tightest_radius_m is None
        assert cost.push_n.mid == pytest.approx(cost.straight_n.mid)


@pytest.mark.parametrize(
    ("length", "turns", "radius", "where"),
    [
        (0.1, 1.0, 0.15, "length"),
        (float("nan"), 1.0, 0.15, "length"),
        (4.0, -1.0, 0.15, "turns"),
        (4.0, float("inf"), 0.15, "turns"),
        (4.0, 1.0, 0.0, "radius"),
        (4.0, 5.0, 0.15, "length"),
    ],
)
def test_loops_that_cannot_be_are_refused_by_name(length, turns, radius, where):
    with pytest.raises(InputError) as refused:
        tasks.looped_lead(PATH, length, turns, radius)
    assert [problem.where for problem in refused.value.problems] == [where]


@pytest.mark.parametrize(
    "text",
    [
        "x,y\n0,0\n1.5,0\n3,1\n",
        "0;0\n1,5;0\n3;1",
        "0\t0\n1.5\t0\n3\t1\n",
        "# taps\n0 0\n1.5 0\n3 1",
        "\ufeff0,0\n1.5,0\n3,1",
    ],
)
def test_columns_are_read_with_any_mark(tmp_path, text):
    file = tmp_path / "lead.csv"
    file.write_text(text, "utf-8")
    assert tasks.read_drawing(file).points == ((0.0, 0.0), (1.5, 0.0), (3.0, 1.0))


def test_json_may_say_the_length(tmp_path):
    file = tmp_path / "lead.json"
    file.write_text(json.dumps({"length": "13 ft", "points": [[0, 0], [1, 2], [3, 4]]}))
    assert tasks.read_drawing(file).length_m == pytest.approx(3.9624)
    file.write_text("[[0, 0], [1, 2], [3, 4]]")
    assert tasks.read_drawing(file).length_m is None


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("{", "is not JSON"),
        ('{"points": [[0, 0], [1]]}', "are not pairs of numbers"),
        ('{"length": "4"}', "are not pairs of numbers"),
        ('{"length": "4", "points": []}', "has no unit"),
        ("0,0\nnonsense\n1,1", "is not two numbers"),
        ("[" * 100_000, "is not JSON"),
        ("0,0\n" * 600_000, "larger than 2 MB"),
    ],
)
def test_files_that_hold_no_drawing_are_refused(tmp_path, text, said):
    file = tmp_path / "lead"
    file.write_text(text)
    with pytest.raises(InputError, match=said):
        tasks.read_drawing(file)


def test_a_file_that_is_not_there_or_no_text_is_refused(tmp_path):
    with pytest.raises(InputError, match="cannot be read"):
        tasks.read_drawing(tmp_path / "none.csv")
    (tmp_path / "photo.jpg").write_bytes(b"\xff\xd8\xff\xe0")
    with pytest.raises(InputError, match="is not text"):
        tasks.read_drawing(tmp_path / "photo.jpg")
