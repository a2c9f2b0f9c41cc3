"""What is known beside a picture, and where a measured figure is saved."""

from fractions import Fraction

import pytest
from numpy.testing import assert_allclose
from plain_shots import (
    FILM,
    free_wall,
    global_camera,
    mains_lamp,
    plain_camera,
    plain_wall,
    pulsed_lamp,
)

from bandcheck.errors import OutOfRangeError
from bandcheck.measure.known import (
    Known,
    Light,
    camera_readout,
    lamp_frequency,
    picture_scale,
    wall_frequency,
    with_profiles,
)
from bandcheck.measure.saved_profile import (
    camera_with_readout,
    lamp_with_rate,
    wall_with_refresh,
)
from bandcheck.shoot.lamp import Lamp
from bandcheck.shoot.profiles import parse_camera, parse_lamp, parse_wall
from bandcheck.verdict.agreement import Measured

DATE = "2026-03-02"


def figure(value, uncertainty=0.0):
    return Measured(value=value, uncertainty=uncertainty)


def test_frequencies_of_profiles():
    assert wall_frequency(plain_wall(), wall_fps=FILM).frequency_hz == figure(3840.0)
    free = wall_frequency(free_wall(), wall_fps=Fraction(25)).frequency_hz
    assert_allclose([free.value, free.uncertainty], [3840, 19.2])  # 1 % is two sigmas
    mains = lamp_frequency(mains_lamp(mains_tolerance=0.002)).frequency_hz
    assert_allclose([mains.value, mains.uncertainty], [120, 0.12])
    assert_allclose(lamp_frequency(pulsed_lamp()).frequency_hz.value, 1200)
    with pytest.raises(OutOfRangeError, match="steady"):
        lamp_frequency(Lamp(name="sky", kind="steady"))


def test_a_refresh_that_the_profile_leaves_open_is_not_taken_as_known():
    unsure = plain_wall(refreshes_per_frame=None, refresh_hz=3840.0, rated_fps=FILM)
    assert wall_frequency(unsure, wall_fps=FILM).frequency_hz.value == 3840
    with pytest.raises(OutOfRangeError, match="--source-hz"):
        wall_frequency(unsure, wall_fps=Fraction(30))


def test_readout_of_a_camera():
    found = camera_readout(plain_camera(readout_tolerance_s=1e-4))
    assert_allclose([found.value, found.uncertainty], [8e-3, 5e-5])
    with pytest.raises(OutOfRangeError, match="all rows open at once"):
        camera_readout(global_camera())


def test_what_was_said_outright_has_the_last_word():
    said = Known(
        lights=(Light(name="", frequency_hz=figure(500.0)),), readout=figure(0.02), rows_read=1000
    )
    profiles = {"camera": plain_camera(), "lamps": [mains_lamp()], "wall": plain_wall()}
    assert with_profiles(said, wall_fps=FILM, **profiles) == said
    found = with_profiles(Known(), wall_fps=FILM, **profiles)
    assert [each.name for each in found.lights] == ["mains lamp", plain_wall().name]
    assert (found.readout.value, found.rows_read) == (0.008, 2160)
    assert with_profiles(Known(), wall_fps=None, **profiles).lights[-1].name == "mains lamp"


@pytest.mark.parametrize(("known", "expected"), [
    (Known(), (1080, 1.0)),
    (Known(rows_read=2160), (2160, 2.0)),
    (Known(rows_read=2160, rows_kept=1080), (2160, 1.0)),
    (Known(rows_kept=2160), (2160, 2.0)),
    (Known(rows_read=3000, row_scale=1.5), (3000, 1.5)),
    (Known(row_scale=2.0), (2160, 2.0)),
])
def test_rows_of_a_picture_of_1080(known, expected):
    found = picture_scale(known, picture_rows=1080)
    assert (found.rows_read, found.sensor_rows) == expected


def test_no_more_rows_are_kept_than_read():
    with pytest.raises(OutOfRangeError, match="--rows-kept"):
        picture_scale(Known(rows_read=1000, rows_kept=1001), picture_rows=1080)


def test_a_camera_with_its_measured_readout():
    text = camera_with_readout(plain_camera(), figure(0.0081234, 0.0000234), date=DATE)
    saved = parse_camera(text, file="copy.toml")
    assert_allclose(saved.readout_s, 0.008123, rtol=1e-12)
    assert_allclose(saved.readout_tolerance_s, 2 * 0.000024, rtol=1e-12)  # rounded up
    assert saved.source["readout_ms"] == "measured 2026-03-02, +/- 0.024 ms"
    assert saved.rows_px == 2160


def test_a_lamp_with_its_measured_rate():
    saved = parse_lamp(lamp_with_rate(mains_lamp(), figure(119.9, 0.1), date=DATE), file="a")
    assert_allclose(saved.mains_hz, 59.95)
    assert_allclose(saved.mains_tolerance, 0.0017, rtol=1e-9)  # 0.1 in 59.95, rounded up
    assert saved.source["mains_hz"].endswith("+/- 0.05 Hz")
    pulsed = parse_lamp(lamp_with_rate(pulsed_lamp(), figure(1201.04, 0.5), date=DATE), file="a")
    assert_allclose(pulsed.pulse_hz, 1201.04)


def test_a_locked_wall_gets_a_whole_number_of_refreshes():
    text = wall_with_refresh(plain_wall(), figure(3844.0, 2.0), wall_fps=FILM, date=DATE)
    saved = parse_wall(text, file="a")
    assert saved.refreshes_per_frame == 160
    assert "3844.0 Hz +/- 2.0 Hz at 24 frames/s" in saved.source["refreshes_per_frame"]
    for unsure in (figure(3844.0, 30.0), figure(3852.0, 0.5)):
        with pytest.raises(OutOfRangeError, match="whole multiple"):
            wall_with_refresh(plain_wall(), unsure, wall_fps=FILM, date=DATE)


def test_a_free_wall_gets_the_refresh_as_measured():
    text = wall_with_refresh(free_wall(), figure(3844.3, 1.5), wall_fps=FILM, date=DATE)
    saved = parse_wall(text, file="a")
    assert_allclose(saved.refresh_hz, 3844.3)
    assert_allclose(saved.refresh_tolerance, 0.00079, rtol=1e-9)  # 3 in 3844.3, rounded up
    assert saved.refreshes_per_frame is None
