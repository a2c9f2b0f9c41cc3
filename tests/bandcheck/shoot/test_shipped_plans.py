"""The shipped plans: sound, and the demo is the shoot that it is said to be."""

import re
import tomllib
from fractions import Fraction

import pytest

from bandcheck.shoot.plan_file import load_plan, shipped_plans
from bandcheck.shoot.plan_shots import setup_sights
from bandcheck.shoot.profiles import shipped_folder, shipped_names

FILES = sorted((shipped_folder() / "plans").iterdir())


def test_plans_are_found_by_the_names_of_their_files():
    assert [path.stem for path in FILES] == list(shipped_plans())
    assert "night-train" in shipped_plans()


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_plan_is_sound_and_names_shipped_profiles_alone(path):
    plan = load_plan(path)
    assert load_plan(path.stem) == plan
    tables = tomllib.loads(path.read_text(encoding="utf-8"))
    assert {each["wall"] for each in tables["surface"]} <= set(shipped_names("wall"))
    assert {each["profile"] for each in tables["camera"]} <= set(shipped_names("camera"))
    assert {each["profile"] for each in tables["lamp"]} <= set(shipped_names("lamp"))
    for setup in plan.setups:
        for fps in setup.rates:
            assert len(setup_sights(plan, setup, fps=fps)) == (
                len(setup.cameras) * len(setup.surfaces)
            )


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_who_measured_what_says_when(path):
    for table in tomllib.loads(path.read_text(encoding="utf-8")).values():
        for row in table if isinstance(table, list) else ():
            for text in row.get("measured", {}).values():
                assert re.fullmatch(r"measured \d{4}-\d{2}-\d{2}, \w\. \w+", text)


def test_the_demo_is_the_shoot_that_it_is_said_to_be():
    plan = load_plan("night-train")
    assert len(plan.surfaces) == len(plan.cameras) == 3
    assert len(plan.lamps) == 2
    assert len({each.camera.readout_s for each in plan.cameras.values()}) == 3
    rates = {fps for setup in plan.setups for fps in setup.rates}
    assert rates == set(map(Fraction, (24, 25, 30, 48, 50)))
    roles = {role for setup in plan.setups for role in setup.surfaces.values()}
    assert roles == {"in_shot", "reflected", "lighting_only"}
    assert plan.ramps
    assert plan.interleaves
