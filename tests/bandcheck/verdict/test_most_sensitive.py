"""What a verdict hangs on most."""

from plain_shots import free_wall, mains_lamp, plain_camera, plain_shot, plain_wall

from bandcheck.verdict.most_sensitive import most_sensitive_inputs


def test_a_null_hangs_on_shutter_and_refreshes():
    found = most_sensitive_inputs(plain_shot(levels=(1.0,)))
    assert set(found) == {"shutter", "refreshes per frame", "camera frame rate"}


def test_a_lamp_that_is_caught_hangs_on_its_rate():
    shot = plain_shot(lamps=(mains_lamp(),), angle=144, wall=plain_wall(refreshes_per_frame=800))
    assert "lamp mains lamp" in most_sensitive_inputs(shot)
    assert len(most_sensitive_inputs(shot, most=10)) > 3
    assert len(most_sensitive_inputs(shot, most=1)) == 1
    assert most_sensitive_inputs(shot, most=10)[:3] == most_sensitive_inputs(shot)


def test_the_level_and_the_gray_depth_count_in_the_dark():
    bits = plain_wall(counts_per_refresh=None, gray_bits=14)
    found = most_sensitive_inputs(plain_shot(wall=bits, levels=(0.06,), angle=180), most=9)
    assert {"gray depth", "gray level"} <= set(found)


def test_dimming_counts_only_where_it_costs_counts():
    pwm, current = (
        most_sensitive_inputs(
            plain_shot(wall=plain_wall(brightness_control=control), levels=(0.06,)), most=9
        ) for control in ("pwm", "current")
    )
    assert "wall brightness" in pwm
    assert "wall brightness" not in current


def test_what_moves_nothing_is_left_out():
    free = most_sensitive_inputs(plain_shot(wall=free_wall()), most=9)
    assert "line switch time" not in free
    still = plain_shot(camera=plain_camera(shutter="global", readout_s=0.0))
    assert "readout" not in most_sensitive_inputs(still, most=9)


def test_a_step_that_cannot_be_made_is_left_out():
    # a frame full to the brim holds no refresh more
    brim = plain_wall(clock_hz=24 * 160 * 16 * 409 * 1.0001, frame_end="stretched")
    assert "shutter" in most_sensitive_inputs(plain_shot(wall=brim, levels=(1.0,)))


def test_nothing_where_nothing_is_known():
    shot = plain_shot(camera=plain_camera(exposure_scheme="multi"))
    assert most_sensitive_inputs(shot) == ()
