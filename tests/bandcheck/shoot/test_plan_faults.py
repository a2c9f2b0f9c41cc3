"""Bad plans: refused by name, with everything that is wrong in one go."""

import pytest
from plan_cases import HEAD, faults_of, plan_of

from bandcheck.errors import ProfileError

SETUP = '[[setup]]\nname = "one"\ncamera = "A"\nsurfaces = ["main"]\n'

MANY = """
[plan]
nam = 3
[defaults]
angle_deg = 400
speed = "1/50"
[[surface]]
name = "a"
wall = "stage-main-2.5"
[[surface]]
name = "a"
wall = "side-2.8"
[[surface]]
name = "b"
like = "c"
[[surface]]
name = "c"
like = "b"
[[camera]]
name = "A"
profile = "cine-a-wide"
max_fps = 30
readout_ms = 40
[camera.measured]
readout = 3
[[camera]]
name = "B"
profile = "cine-a-wide"
[[setup]]
name = "1"
rates = [24, 90]
surfaces = ["d"]
[[setup]]
name = "2"
camera = "B"
rates = [24, 90]
surfaces = ["a"]
lamps = ["x"]
[[setup]]
name = "2"
camera = "B"
"""


def test_all_faults_of_a_plan_are_told_at_once():
    told = faults_of(MANY)
    for beginning in (
        "[plan] nam: no such key; nearest: name", "[plan] name: missing",
        "[defaults] angle_deg: 400 is not accepted", "[defaults] angle_deg, speed: give one",
        "[[surface]] a, name: there is another surface of this name",
        "[[surface]] a, wall stage-main-2.5: no wall of this name",
        "[[surface]] b, like: goes round in a circle: b is like c is like b",
        "[[camera]] A, measured.readout: no such key; nearest: readout_ms",
        "[[camera]] A, readout_ms: 40 is not accepted",
        "[[setup]] 1, camera: missing", '[[setup]] 1, surfaces: "d" is not accepted',
        '[[setup]] 2, lamps: "x" is not accepted; the name of a lamp',
        "[[setup]] 2, rates: 90 is not accepted; camera B runs at most 60 frames/s",
        "[[setup]] 2, name: there is another setup of this name",
    ):
        assert sum(line.startswith(beginning) for line in told) == 1, (beginning, told)
    assert len(told) == len(set(told))


@pytest.mark.parametrize(("added", "line"), [
    ('[[setup]]\nname = "x"\ncamera = "B"\nsurfaces = ["main"]',
     '[[setup]] x, camera: "B" is not accepted; the name of a camera in this plan'),
    ('[[setup]]\nname = "x"\ncamera = "A"',
     '[[setup]] x, surfaces: missing; what the camera sees, such as ["main"]'),
    ('[[setup]]\nname = "x"\nlike = "oen"',
     '[[setup]] x, like: "oen" is not accepted; the name of a setup in this plan; nearest: one'),
    ('[[setup]]\nname = "x"\ncamera = "A"\ncameras = ["A"]\nsurfaces = ["main"]',
     "[[setup]] x, camera, cameras: give one of them; each of them says the same thing"),
    ('[[setup]]\nname = "x"\nlike = "one"\nspeed = "1/20"',
     "[[setup]] x, speed: '1/20' is not accepted; no longer than a frame, 1/24 s (camera A, "
     "surface main, 24 frames/s)"),
    ('[[setup]]\nname = "x"\nlike = "one"\nwall_fps = 25',
     "[[setup]] x, wall_fps: "),
    ('[[setup]]\nname = "x"\nlike = "one"\ncontent_fps = 30',
     "[[setup]] x, content_fps: '30' is not accepted; 0 or up to wall_fps, 24"),
    ('[[setup]]\nname = "x"\nlike = "one"\nvisible_from = 0.5',
     "[[setup]] x, visible_from: 0.5 is not accepted; not below safe_below, 1"),
    ('[[setup]]\nname = "x"\nlike = "one"\nlighting_only = ["main"]\nsurfaces = ["main"]',
     "[[setup]] x, lighting_only: main stands in surfaces too; once is enough"),
    ('[[lamp]]\nname = "other"\nprofile = "mains-50-tungsten"',
     "[[lamp]] other, profile: has the name"),
    ('[[ramp]]\nname = "r"\nsetup = "none"\nfrom_fps = 24\nto_fps = 48',
     '[[ramp]] r, setup: "none" is not accepted; the name of a setup in this plan; nearest: one'),
    ('[[ramp]]\nname = "r"\nsetup = "one"\nfrom_fps = 24\nto_fps = 24',
     "[[ramp]] r, to_fps: 24 is not accepted; another rate than from_fps"),
    ('[[ramp]]\nname = "r"\nsetup = "one"\nfrom_fps = 24\nto_fps = 90',
     "[[ramp]] r, to_fps: 90 is not accepted; camera A runs at most 60 frames/s"),
    ('[[interleave]]\nname = "i"\nsurface = "main"\ncameras = ["A", "B"]\nwall_multiple = 1',
     "[[interleave]] i, wall_multiple: 1 is not accepted"),
    ('[[interleave]]\nname = "i"\nsurface = "main"\ncameras = ["A", "B"]\nwall_multiple = 2',
     '[[interleave]] i, cameras: "B" is not accepted'),
    ('[set_up]\nname = "x"', "[set_up]: no such table; nearest: setup"),
    ('[setup2]\nname = "x"', "[setup2]: no such table; nearest: setup"),
])
def test_each_fault_names_its_place_its_key_and_what_is_accepted(added, line):
    told = faults_of(f"{HEAD}{SETUP}{added}\n")
    assert any(each.startswith(line) for each in told), told


@pytest.mark.parametrize(("old", "new", "line"), [
    ("[24]", "[]", "[defaults] rates: [] is not accepted; a list of up to 40 frame rates"),
    ("[24]", "[nan]", "[defaults] rates: "),
    ("[100, 50]", "[0]", "[defaults] levels_pct: [0] is not accepted; a list of levels above 0"),
    ("172.8", '"wide"', '[defaults] angle_deg: "wide" is not accepted; an angle above 0'),
    ('name = "main"', "name = 3", "[[surface]] number 1, name: 3 is not accepted"),
    ("rates = [24]", "", "[[setup]] one, rates: missing; here or in [defaults]"),
    ("rates = [24]", "rates = [24, 90]", "[[setup]] one, rates: 90 is not accepted; camera A"),
    ("[[lamp]]", "[[lamps]]", "[lamps]: no such table; nearest: lamp"),
])
def test_each_value_says_what_it_may_be(old, new, line):
    told = faults_of(HEAD.replace(old, new) + SETUP)
    assert any(each.startswith(line) for each in told), told


def test_a_plan_without_a_set_up_is_none():
    assert faults_of(HEAD) == ("[[setup]]: missing; a plan has one set-up or more",)


def test_a_circle_of_three_is_told_once():
    circle = "".join(
        f'[[setup]]\nname = "{name}"\nlike = "{other}"\n' for name, other in ("ab", "bc", "ca")
    )
    told = [each for each in faults_of(HEAD + circle) if "circle" in each]
    assert told == ["[[setup]] a, like: goes round in a circle: a is like b is like c is like a"]


def test_a_row_that_is_like_itself_is_a_circle():
    (line,) = [
        each for each in faults_of(HEAD + SETUP + 'like = "one"\n') if "circle" in each
    ]
    assert line == "[[setup]] one, like: goes round in a circle: one is like one"


def test_a_message_stays_on_its_lines_however_bad_the_plan_is():
    rows = "".join(f'[[setup]]\nname = "{number}"\ncamera = "X"\n' for number in range(300))
    told = faults_of(HEAD + rows)
    assert len(told) == 101
    assert told[-1].endswith("more faults")


def test_what_is_no_table_is_refused():
    for text in ("setup = 3", "surface = [1, 2]", "[camera]\nname = 'A'", "plan = 1"):
        with pytest.raises(ProfileError):
            plan_of(text)
