"""A plan in parts says what the whole says, on the screen as on the command line."""

import json
from fractions import Fraction

from cli_run import run
from plan_cases import HEAD, coarse_wall, coded_plan
from screen_parts import of_type, texts

from bandcheck.report.plan_table import plan_json
from bandcheck.report.plan_wording import mend_sentence, range_text, ranges_text
from bandcheck.report.rounding import angle_text
from bandcheck.shoot.plan import Interleave, Ramp
from bandcheck.verdict.plan_agreement import plan_agreement
from bandcheck.vision.level import Level
from dashboard.pages.plan.asked_plan import read_plan
from dashboard.pages.plan.cell_view import cell_view
from dashboard.pages.plan.matrix import matrix, matrix_row, moves
from dashboard.pages.plan.parts import part_agreement, part_count

TEXT = HEAD + """
[[setup]]
name = "one"
camera = "A"
surfaces = ["main"]
[[setup]]
name = "two"
camera = "A"
surfaces = ["main"]
lamps = []
rates = [24, 25]
"""


def test_every_number_is_the_commands(tmp_path):
    (tmp_path / "plan.toml").write_text(TEXT)
    said = json.loads(run("plan", tmp_path / "plan.toml", "--json").stdout)
    plan = read_plan(TEXT)
    assert part_count(plan) == 2
    for part, setup in enumerate(said["setups"]):
        agreement = part_agreement(plan, part)
        assert json.loads(json.dumps(plan_json(agreement)["setups"])) == [setup]
        row = matrix_row(plan, agreement.setups[0], part=part)
        buttons = of_type(row, "Button")
        assert [each.id["at"] for each in buttons] == [cell["fps"] for cell in setup["cells"]]
        for button, cell in zip(buttons, setup["cells"], strict=True):
            shown = texts(button)
            assert cell["level"] in shown
            ranges = [tuple(each) for each in cell["common"]]
            largest = max(ranges, key=lambda ends: ends[1] - ends[0], default=None)
            assert ("nothing suits all" if largest is None else range_text(largest)) in shown


def moved_plan():
    """A plan of coarse walls with a ramp, and with two cameras that take turns."""
    plan = coded_plan(walls={"main": coarse_wall()}, rates=(24,))
    two = {"A": plan.cameras["A"], "B": plan.cameras["A"]}
    ramp = Ramp(name="faster", setup="one", from_fps=Fraction(24), to_fps=Fraction(26))
    turns = Interleave(name="in turn", cameras=("A", "B"), surface="main", wall_multiple=2,
                       rates=(Fraction(24),))
    return type(plan)(
        name=plan.name, defaults=plan.defaults, surfaces=plan.surfaces, cameras=two,
        setups=plan.setups, ramps=(ramp,), interleaves=(turns,),
    )


def test_ramps_and_turns_come_with_their_part():
    plan = moved_plan()
    whole = plan_agreement(plan)
    parts = [part_agreement(plan, part) for part in range(part_count(plan))]
    assert len(parts) == 2
    assert parts[0].ramps == whole.ramps
    assert repr(parts[1].turns) == repr(whole.turns)
    assert not parts[1].setups
    assert "faster" in texts(moves(parts[0]))
    assert "in turn, 24 frames/s" in texts(moves(parts[1]))


def test_the_empty_matrix_names_all_and_grades_nothing():
    shown = texts(matrix(read_plan(TEXT)))
    assert {"one", "two", "24", "25"} <= set(shown)
    assert "not planned" in shown
    assert not {each.value for each in Level} & set(shown)


def test_a_cell_says_who_is_in_the_way_and_what_opens_a_setting():
    plan = coded_plan(walls={"slow": coarse_wall(8), "main": coarse_wall(9)}, rates=(24,))
    found = part_agreement(plan, 0).setups[0]
    cell = found.cells[0]
    assert cell.chosen is None  # 8 and 9 refreshes meet at a whole frame alone
    shown = texts(cell_view(found, cell))
    assert "Nothing suits all. In the way: slow, main." in shown
    assert cell.mends
    wanted_deg = float(cell.pairs[0].shot.angle_deg)
    assert {mend_sentence(each, wanted_deg=wanted_deg) for each in cell.mends} <= set(shown)
    assert {"slow", "main"} <= set(shown)


def test_a_cell_says_what_to_dial():
    plan = coded_plan(walls={"main": coarse_wall()}, rates=(24, 25), angle_deg=Fraction(170))
    found = part_agreement(plan, 0).setups[0]
    cell = found.cells[0]
    assert cell.chosen is not None
    shown = " ".join(texts(cell_view(found, cell)))
    assert f"Safe for all: {ranges_text(cell.common_deg)}." in shown
    assert angle_text(cell.chosen.dials[0].angle_deg) in shown
    assert f"One angle for all its rates: {ranges_text(found.common_deg)}." in shown


def test_a_cell_that_cannot_be_run_is_not_safe():
    plan = coded_plan(
        walls={"main": coarse_wall()}, rates=(24, 25), speed=Fraction(1, 24)
    )
    found = part_agreement(plan, 0).setups[0]
    refused = found.cells[1]
    assert refused.refused
    assert "unknown" in texts(cell_view(found, refused))
    assert "cannot be run" in texts(matrix_row(plan, found, part=0))
