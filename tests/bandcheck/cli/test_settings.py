"""`bandcheck settings` as it is used."""

import json

import pytest
from cli_run import run

STAGE = ("settings", "--wall", "stage-main-2.6", "--camera", "cine-a-wide")


def table(*arguments):
    done = run(*STAGE, *arguments, "--json")
    assert done.exit_code == 0
    return json.loads(done.stdout)


def test_every_key_of_the_interface():
    found = table("--fps", "24", "--angle", "172.8")
    assert found["schema"] == "bandcheck.settings/1"
    assert found.keys() >= {"wanted", "ranges", "dial", "wall_side", "blocked_by"}
    assert found["ranges"][0].keys() >= {
        "from_deg", "to_deg", "best_deg", "lowest_safe_level_pct", "visibility_max",
        "stops_from_wanted",
    }
    assert found["dial"][0].keys() >= {"angle_deg", "speed", "level", "visibility"}
    assert found["wall_side"][0].keys() >= {"change", "value", "level"}
    assert found["blocked_by"] == []


def test_a_safe_setting_is_safe_to_check_and_its_dial_value_too():
    for each in table("--fps", "24", "--angle", "172.8")["ranges"][:3]:
        for angle in filter(None, (each["best_deg"], each["dial_deg"])):
            done = run("check", *STAGE[1:], "--fps", "24", "--angle", f"{angle:.9f}", "--json")
            assert json.loads(done.stdout)["overall"] == "safe"


def test_unsaid_shutter_is_180_and_said_so():
    done = run(*STAGE, "--fps", "25")
    assert "180" in done.stderr
    assert "Safe shutter settings" in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 80


def test_who_blocks_is_named():
    # 60 Hz mains at 25 frames/s leave 75, 150, 225 and 300 deg (common practice); the tear
    # leaves less than 72 deg at a readout of 32 ms.
    done = run(
        "settings", "--wall", "stage-main-2.6", "--camera", "hybrid-e-slow", "--fps", "24",
        "--angle", "180", "--lamp", "mains-60-tubes", "--json",
    )
    found = json.loads(done.stdout)
    if not found["ranges"]:
        assert found["blocked_by"]
        assert found["quietest"] is not None


@pytest.mark.parametrize(("how", "status"), [("marginal", 3), ("visible", 0)])
def test_status_is_that_of_the_wanted_setting(how, status):
    assert run(*STAGE, "--fps", "24", "--angle", "172.8", "--fail-on", how).exit_code == status
