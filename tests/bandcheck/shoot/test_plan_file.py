"""Plans: read whole, every value inherited from where it was stated, all faults in one go."""

from fractions import Fraction

import pytest
from plan_cases import HEAD, faults_of, plan_of

from bandcheck.errors import ProfileError
from bandcheck.shoot.plan_file import load_plan, parse_plan, shipped_plans
from bandcheck.shoot.plan_shots import resolved, setup_sights

SETUP = '[[setup]]\nname = "one"\ncamera = "A"\nsurfaces = ["main"]\n'


def shot_of(text, *, surface="main", rate=24):
    plan = plan_of(text)
    sights = setup_sights(plan, plan.setups[0], fps=Fraction(rate))
    return next(each.shot for each in sights if each.surface == surface)


def test_a_set_up_takes_what_it_does_not_say_from_the_defaults():
    shot = shot_of(HEAD + SETUP)
    assert (shot.fps, shot.angle_deg, shot.levels) == (24, Fraction("172.8"), (1.0, 0.5))
    assert [lamp.name for lamp in shot.lamps] == ["tungsten on 50 Hz mains"]


@pytest.mark.parametrize(("added", "angle"), [
    ("angle_deg = 90\n", 90), ('speed = "1/48"\n', 180),
])
def test_what_a_set_up_says_goes_before_the_defaults(added, angle):
    assert shot_of(HEAD + SETUP + added).angle_deg == angle


def test_a_camera_goes_before_the_defaults_and_a_set_up_before_the_camera():
    text = HEAD.replace('profile = "cine-a-wide"', 'profile = "cine-a-wide"\nangle_deg = 144')
    assert shot_of(text + SETUP).angle_deg == 144
    assert shot_of(text + SETUP + "angle_deg = 90\n").angle_deg == 90


def test_every_value_says_who_stated_it():
    text = HEAD.replace('wall = "side-2.8"', 'wall = "side-2.8"\nbrightness_pct = 70')
    plan = plan_of(text + SETUP + "push_stops = 1\n")
    values = resolved(plan, plan.setups[0], plan.cameras["A"], plan.surfaces["main"])
    stated = {key: (each.value, each.by) for key, each in values.items()}
    assert stated["angle_deg"] == (Fraction("172.8"), "[defaults]")
    assert stated["brightness"] == (0.7, "surface main")
    assert stated["push_stops"] == (1.0, "setup one")
    assert stated["squeeze"] == (1.0, "taken")


def test_rows_take_from_those_that_they_are_like():
    plan = plan_of(
        HEAD + SETUP + 'angle_deg = 144\n[[setup]]\nname = "two"\nlike = "one"\nrates = [48]\n'
        '[[setup]]\nname = "three"\nlike = "two"\nspeed = "1/100"\n'
    )
    two, three = plan.setups[1:]
    assert (two.cameras, dict(two.surfaces), two.rates) == (("A",), {"main": "in_shot"}, (48,))
    assert two.given["angle_deg"].value == 144
    assert two.given["angle_deg"].by == "setup one"
    assert "angle_deg" not in three.given  # the nearer way to say the shutter takes its place
    assert three.given["speed"].value == Fraction(1, 100)


def test_a_surface_that_only_lights_the_scene_has_no_picture_that_could_tear():
    text = HEAD + SETUP.replace('surfaces = ["main"]', 'lighting_only = ["main"]')
    assert shot_of(text).content_fps == 0
    assert shot_of(HEAD + SETUP).content_fps == 24


def test_only_what_is_in_shot_keeps_its_place():
    lens = "focal_mm = 35\ndistance_m = 6\n"
    assert shot_of(HEAD + SETUP + lens).optics.distance_mm == 6000
    seen = SETUP.replace("surfaces", "reflected")
    assert shot_of(HEAD + seen + lens).optics is None


@pytest.mark.parametrize(("camera", "surface", "expected"), [
    ("phase_ms = 5", "phase_ms = 2", 0.003), ("phase_ms = 2", "phase_ms = 5", 1 / 24 - 0.003),
    ("phase_ms = 5", "", None), ("", "phase_ms = 2", None),
])
def test_a_phase_is_known_where_both_devices_say_theirs(camera, surface, expected):
    text = HEAD.replace('"cine-a-wide"', f'"cine-a-wide"\n{camera}')
    phase = shot_of(text.replace('"side-2.8"', f'"side-2.8"\n{surface}') + SETUP).phase_s
    assert phase == (None if expected is None else pytest.approx(expected, abs=1e-12))


@pytest.mark.parametrize("whose", ['"cine-a-wide"', '"side-2.8"'])
def test_one_device_that_runs_free_is_enough(whose):
    assert shot_of(HEAD + SETUP).genlock == "locked"
    assert shot_of(HEAD.replace(whose, f'{whose}\ngenlock = "free"') + SETUP).genlock == "free"


def test_a_camera_may_have_another_dial_and_tolerance_than_its_profile():
    own = '"cine-a-wide"\nangles_deg = [90, 180]\nreadout_tolerance_ms = 0.2'
    camera = shot_of(HEAD.replace('"cine-a-wide"', own) + SETUP).camera
    assert camera.angles_deg == (90, 180)
    assert camera.angle_step_deg is None
    assert camera.readout_tolerance_s == 0.0002
    assert camera.readout_s == 0.008


def test_who_measured_what_stands_beside_the_figure():
    own = '"cine-a-wide"\n[camera.measured]\nreadout_ms = "measured 2026-03-02, M. Lindqvist"'
    shot = shot_of(HEAD.replace('"cine-a-wide"', own) + SETUP)
    assert shot.camera.source["readout_ms"] == "measured 2026-03-02, M. Lindqvist"


def test_refreshes_a_frame_may_be_set_where_the_wall_is_locked():
    wall = shot_of(HEAD.replace('"side-2.8"', '"side-2.8"\nrefreshes_per_frame = 40') + SETUP).wall
    assert (wall.refreshes_per_frame, wall.refresh_hz) == (40, None)
    free = HEAD.replace('"side-2.8"', '"backdrop-2.9-free"\nrefreshes_per_frame = 40')
    (line,) = faults_of(free + SETUP)
    assert "[[surface]] main, refreshes_per_frame: 40 is not accepted" in line
    few = HEAD.replace('"side-2.8"', '"stage-quiet-1.9"\nrefreshes_per_frame = 40')
    (line,) = faults_of(few + SETUP)
    assert "32, 64, 128, 256" in line


def test_profiles_may_be_files_beside_the_plan(tmp_path):
    from shot_command import CAMERA

    (tmp_path / "own.toml").write_text(CAMERA, encoding="utf-8")
    path = tmp_path / "shoot.toml"
    path.write_text(HEAD.replace("cine-a-wide", "own.toml") + SETUP, encoding="utf-8")
    assert load_plan(path).cameras["A"].camera.name == "Test camera"
    assert load_plan(str(path)).cameras["A"].camera.name == "Test camera"


@pytest.mark.parametrize("name", shipped_plans())
def test_shipped_plans_are_without_fault(name):
    assert load_plan(name).setups


def test_a_plan_that_is_not_there_is_refused_by_name(tmp_path):
    with pytest.raises(ProfileError, match=r"night-trian: .*nearest: night-train"):
        load_plan("night-trian")
    with pytest.raises(ProfileError, match="cannot be read"):
        load_plan(tmp_path / "none.toml")
    with pytest.raises(ProfileError, match="not TOML"):
        parse_plan("[plan", file="x.toml")
