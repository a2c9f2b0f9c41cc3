"""The shared options say a shot, with the promised defaults, or are refused together."""

from dataclasses import replace
from fractions import Fraction

import click
import pytest
from shot_command import CAMERA, command, profile_files

from bandcheck.errors import OutOfRangeError, ProfileError
from bandcheck.shoot.shot import DEFAULT_LEVELS, Optics, Viewing

FILM = Fraction(24000, 1001)


@pytest.fixture
def shot_of(tmp_path):
    profiles = profile_files(tmp_path)

    def shot(*arguments):
        return command.main([*profiles, *map(str, arguments)], standalone_mode=False)

    return shot


def test_defaults(shot_of):
    shot = shot_of("--fps", "23.976", "--angle", "172.8")
    assert (shot.wall.name, shot.camera.name, shot.lamps) == ("Test wall", "Test camera", ())
    assert (shot.fps, shot.wall_fps, shot.content_fps) == (FILM, FILM, FILM)
    assert (shot.genlock, shot.phase_s, shot.optics) == ("locked", None, None)
    assert (shot.levels, shot.brightness) == (DEFAULT_LEVELS, 1.0)
    assert (shot.change_spread_s, shot.panel_rotation_deg) == (0.0, 0)
    assert shot.viewing == Viewing()


def test_everything_said(shot_of, tmp_path):
    shot = shot_of(
        "--fps", 24, "--speed", "1/50", "--wall-fps", 48, "--content-fps", 24, "--genlock", "free",
        "--phase-ms", 3.2, "--change-spread-ms", 0.5, "--levels", "2,100", "--brightness-pct", 40,
        "--panel-rotation", 270, "--lamp", tmp_path / "lamp.toml", "--lamp", tmp_path / "lamp.toml",
        "--focal-mm", 35, "--distance-m", 6, "--focus-m", 4, "--f-number", 2.8, "--yaw-deg", -10,
        "--tilt-deg", 5, "--roll-deg", 90, "--squeeze", 2, "--view-heights", 1.5,
        "--flare-nits", 0, "--push-stops", 2, "--grade-contrast", 1.3, "--safe-below", 0.5,
        "--visible-from", 4,
    )
    assert (shot.fps, shot.wall_fps, shot.content_fps) == (24, 48, 24)
    assert (shot.exposure_s, shot.shutter_set_as) == (Fraction(1, 50), "time")
    assert (shot.genlock, shot.phase_s, shot.change_spread_s) == ("free", 0.0032, 0.0005)
    assert (shot.levels, shot.brightness, shot.panel_rotation_deg) == ((1.0, 0.02), 0.4, 270)
    assert [lamp.name for lamp in shot.lamps] == ["Test lamp"] * 2
    assert shot.optics == Optics(
        focal_mm=35.0, distance_mm=6000.0, focus_mm=4000.0, f_number=2.8, yaw_deg=-10.0,
        tilt_deg=5.0, roll_deg=90.0, squeeze=2.0,
    )
    assert shot.viewing == Viewing(
        view_heights=1.5, flare_nits=0.0, push_stops=2.0, grade_contrast=1.3, safe_below=0.5,
        visible_from=4.0,
    )


@pytest.mark.parametrize(
    ("said", "exposure_s", "way"),
    [
        (("--angle", "180"), Fraction(1, 48), "angle"),  # check_values: 180 deg at 24 is 1/48
        (("--angle", "172.8"), Fraction(1, 50), "angle"),
        (("--angle", "360"), Fraction(1, 24), "angle"),
        (("--speed", "1/50"), Fraction(1, 50), "time"),
        (("--speed", "1/24"), Fraction(1, 24), "time"),
        (("--exposure-ms", "20"), Fraction(1, 50), "time"),
        (("--shutter-hz", "50"), Fraction(1, 50), "time"),
        (("--shutter-hz", "59.94"), Fraction(100, 5994), "time"),
    ],
)
def test_four_ways_to_say_the_shutter(shot_of, said, exposure_s, way):
    shot = shot_of("--fps", 24, *said)
    assert (shot.exposure_s, shot.shutter_set_as) == (exposure_s, way)


def test_an_unsaid_shutter_is_taken_and_told(shot_of, capsys):
    shot = shot_of("--fps", 24, "--lenient")
    assert (shot.exposure_s, shot.shutter_set_as) == (Fraction(1, 48), "angle")
    out, err = capsys.readouterr()
    assert (out, err) == ("", "no shutter given: 180 deg is taken as the wanted one\n")
    assert shot_of("--fps", 24, "--lenient", "--angle", 90).exposure_s == Fraction(1, 96)
    assert capsys.readouterr() == ("", "")


@pytest.mark.parametrize(
    ("wall_fps", "fps"), [(24, 24), (48, 24), (60, 24), (24, 48), ("23.976", "47.952")]
)
def test_rates_that_lock(shot_of, wall_fps, fps):
    shot = shot_of("--fps", fps, "--wall-fps", wall_fps, "--angle", 90)
    assert shot.genlock == "locked"


def test_the_phase_may_be_anywhere_in_a_frame_of_the_wall(shot_of):
    shot = shot_of("--fps", 24, "--wall-fps", 48, "--angle", 90, "--phase-ms", 20.8)
    assert shot.phase_s == 0.0208
    assert shot_of("--fps", 24, "--angle", 90, "--phase-ms", 0).phase_s == 0.0


AT_24 = ("--fps", "24", "--angle", "90")


@pytest.mark.parametrize(
    ("arguments", "start", "words"),
    [
        (("--fps", "24"), "--angle: ", "missing"),
        (("--angle", "90"), "--fps: ", "missing"),
        ((*AT_24, "--speed", "1/50"), "--angle and --speed: ", "give one of them"),
        ((*AT_24, "--exposure-ms", "9", "--shutter-hz", "50"),
         "--angle and --exposure-ms and --shutter-hz: ", "give one of them"),
        (("--fps", "48", "--speed", "1/24"), "--speed: ", "no longer than a frame, 20.8333 ms"),
        (("--fps", "24", "--exposure-ms", "41.67"), "--exposure-ms: ", "no longer than a frame"),
        (("--fps", "24", "--shutter-hz", "23.9"), "--shutter-hz: ", "no longer than a frame"),
        ((*AT_24, "--wall-fps", "23.976"), "--genlock: ", "--genlock free"),
        ((*AT_24, "--wall-fps", "25"), "--genlock: ", "--genlock free"),
        ((*AT_24, "--content-fps", "25"), "--content-fps: ", "up to the wall's rate, 24"),
        ((*AT_24, "--phase-ms", "41.67"), "--phase-ms: ", "below one picture on the wall, 41.6667"),
        ((*AT_24, "--wall-fps", "48", "--phase-ms", "20.84"), "--phase-ms: ", "20.8333"),
        ((*AT_24, "--change-spread-ms", "50"), "--change-spread-ms: ", "41.6667 ms"),
        ((*AT_24, "--focal-mm", "35"), "--focal-mm: ", "without --distance-m"),
        ((*AT_24, "--distance-m", "6"), "--distance-m: ", "without --focal-mm"),
        ((*AT_24, "--f-number", "4"), "--f-number: ", "without --focal-mm and --distance-m"),
        ((*AT_24, "--yaw-deg", "0"), "--yaw-deg: ", "without --focal-mm and --distance-m"),
        ((*AT_24, "--squeeze", "2", "--focal-mm", "5"), "--focal-mm: ", "without --distance-m"),
        ((*AT_24, "--visible-from", "0.5"), "--visible-from: ", "not below --safe-below, 1"),
        (("--fps", "61", "--angle", "90"), "--fps: ", "at most 60 frames/s"),
    ],
)
def test_refused_together(shot_of, arguments, start, words):
    with pytest.raises((click.UsageError, OutOfRangeError)) as refusal:
        shot_of(*arguments)
    assert str(refusal.value).startswith(start)
    assert words in str(refusal.value)


@pytest.mark.parametrize("missing", ["--wall", "--camera"])
def test_profiles_are_needed(tmp_path, missing):
    arguments = [*profile_files(tmp_path), *AT_24]
    place = arguments.index(missing)
    with pytest.raises(click.UsageError, match=f"^{missing}: missing"):
        command.main(arguments[:place] + arguments[place + 2:], standalone_mode=False)


def test_a_readout_that_fills_the_frame_bounds_the_rate(shot_of, tmp_path):
    text = CAMERA.replace("readout_ms = 8", "readout_ms = 20").replace("max_fps = 60", "")
    (tmp_path / "camera.toml").write_text(text)
    assert shot_of("--fps", 50, "--angle", 90).fps == 50  # 50 x 20 ms is a whole second
    with pytest.raises(OutOfRangeError, match="at most 50 frames/s, where its readout fills"):
        shot_of("--fps", "50.5", "--angle", 90)


def test_a_lamp_that_is_missing_is_named(shot_of):
    with pytest.raises(ProfileError, match="nowhere"):
        shot_of(*AT_24, "--lamp", "nowhere.toml")


def test_a_rate_in_place_of_the_one_typed(tmp_path):
    from bandcheck.cli.asked_shot import asked_shot

    kept = []
    keeping = click.command(replace_callback(kept.append))
    keeping.main([*profile_files(tmp_path), "--angle", "180"], standalone_mode=False)
    shots = [asked_shot(kept[0], fps=Fraction(rate)) for rate in (24, 48)]
    assert [shot.exposure_s for shot in shots] == [Fraction(1, 48), Fraction(1, 96)]
    assert [shot.wall_fps for shot in shots] == [24, 48]
    with pytest.raises(OutOfRangeError, match="--speed"):
        asked_shot(replace(kept[0], angle=None, speed=Fraction(1, 24)), fps=Fraction(25))


def replace_callback(keep):
    from bandcheck.cli.options import shot_options

    return shot_options(lambda given: keep(given))
