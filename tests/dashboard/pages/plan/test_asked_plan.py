"""The plan of the screen: the same faults as the command's, and no file of this machine is read."""

import hashlib

import pytest
from cli_run import refused
from hypothesis import given, settings
from hypothesis import strategies as st
from plan_cases import HEAD

from bandcheck.errors import ProfileError
from bandcheck.shoot.plan_file import load_plan
from dashboard.fields import OWN
from dashboard.pages.plan.asked_plan import asked_plan, read_plan, shipped_texts
from dashboard.state import plan_in_address, question_of, search_of

SETUP = '[[setup]]\nname = "one"\ncamera = "A"\nsurfaces = ["main"]\n'
BROKEN = HEAD.replace("cine-a-wide", "cine-a-wid") + SETUP.replace('["main"]', '["mian"]')


def own(text):
    return {"plan": OWN, "plan_toml": text}


@pytest.mark.parametrize("name", sorted(shipped_texts()))
def test_a_shipped_plan_by_its_name(name):
    assert asked_plan({"plan": name}).plan == load_plan(name)
    assert asked_plan(own(shipped_texts()[name])).plan == load_plan(name)


def test_nothing_is_answered_unasked():
    assert asked_plan({}).plan is None
    assert asked_plan({}).faults == ()


@pytest.mark.parametrize("question", [{"plan": "no-such"}, {"plan": OWN}, own("")])
def test_a_plan_that_is_not_there_is_said(question):
    found = asked_plan(question)
    assert found.plan is None
    assert len(found.faults) == 1


def test_faults_as_the_command_tells_them(tmp_path):
    (tmp_path / "plan.toml").write_text(BROKEN)
    faults = asked_plan(own(BROKEN)).faults
    assert len(faults) == 2
    said = refused("plan", tmp_path / "plan.toml")
    assert all(line in said for line in faults)


@pytest.mark.parametrize("kind", ["surface", "camera", "lamp"])
@pytest.mark.parametrize("as_file", [
    "/etc/passwd", "../secret", "beside.toml", "./side-2.8", "present",
])
def test_no_file_is_read(kind, as_file, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "present").write_text('[wall]\nname = "secret"\n')
    (tmp_path / "beside.toml").write_text('[wall]\nname = "secret"\n')
    shipped = {"surface": "side-2.8", "camera": "cine-a-wide", "lamp": "mains-50-tungsten"}[kind]
    text = (HEAD + SETUP).replace(f'"{shipped}"', f'"{as_file}"')
    found = asked_plan(own(text))
    assert found.plan is None
    assert len(found.faults) == 1
    assert found.faults[0].startswith(f"[[{kind}]]")
    assert "is a file; on this screen" in found.faults[0]


def test_more_than_a_screen_can_compute_is_refused():
    names = [f"s{each}" for each in range(13)]
    surfaces = "".join(f'[[surface]]\nname = "{name}"\nwall = "side-2.8"\n' for name in names)
    rates = ", ".join(str(10 + each / 10) for each in range(40))
    text = HEAD.replace("[24]", f"[{rates}]") + surfaces
    seen = ", ".join(f'"{name}"' for name in names)
    with pytest.raises(ProfileError, match=r"520 meetings .* at most 500 on a screen"):
        read_plan(text + SETUP.replace('"main"', seen))
    assert read_plan(text + SETUP.replace('"main"', seen.removesuffix(', "s12"')))


def test_another_text_has_another_key():
    keys = {asked_plan(own(text)).key for text in (HEAD, HEAD + SETUP, BROKEN)}
    assert len(keys) == 3


@settings(derandomize=True, deadline=None, max_examples=60)
@given(st.text(max_size=200), st.sampled_from([OWN, "", "night-train", "x"]))
def test_any_text_is_a_plan_or_has_faults(text, choice):
    found = asked_plan({"plan": choice, "plan_toml": text})
    assert (found.plan is None) or not found.faults


def test_a_plan_of_ones_own_travels_in_the_link():
    question = own(HEAD + SETUP)
    assert question_of(search_of(question)) == question


def test_a_long_plan_is_said_not_to_be_in_the_link():
    notes = (hashlib.sha256(str(each).encode()).hexdigest() for each in range(200))
    long = own(HEAD + SETUP + "".join(f"# {note}\n" for note in notes))
    assert not plan_in_address(long)
    assert search_of(long) == ""
    assert plan_in_address({"plan": "night-train", "plan_toml": long["plan_toml"]})
