"""The main screen says what the command says, number by number."""

import json

import pytest
from cli_run import run
from dash_posts import callbacks, posted
from screen_parts import of_type, texts

from bandcheck.report.rounding import visibility_text
from dashboard.app import create_app
from dashboard.pages.stage.answers import verdict
from dashboard.state import question_of, search_of

QUESTIONS = (
    ("?wall=stage-main-2.6&camera=cine-a-wide&shutter=172.8&lamp=mains-50-tungsten",
     "--wall stage-main-2.6 --camera cine-a-wide --fps 24 --angle 172.8 --lamp mains-50-tungsten"),
    ("?wall=floor-3.9&camera=hybrid-d-full&fps=25&shutter=1/50&levels=80,5",
     "--wall floor-3.9 --camera hybrid-d-full --fps 25 --speed 1/50 --levels 80,5"),
    ("?wall=backdrop-2.9-free&camera=cine-b-global&genlock=free&fps=29.97&wall_fps=30",
     "--wall backdrop-2.9-free --camera cine-b-global --genlock free --fps 29.97 --wall-fps 30"
     " --angle 180"),
    ("?wall=side-2.8&camera=cine-a-wide&phase_ms=3.2&brightness_pct=40&push_stops=1",
     "--wall side-2.8 --camera cine-a-wide --fps 24 --angle 180 --phase-ms 3.2"
     " --brightness-pct 40 --push-stops 1"),
    ("?wall=stage-fine-1.5&camera=cine-c-large&focal_mm=35&f_number=2.8&distance_m=6&focus_m=4",
     "--wall stage-fine-1.5 --camera cine-c-large --fps 24 --angle 180 --focal-mm 35"
     " --f-number 2.8 --distance-m 6 --focus-m 4"),
)


@pytest.fixture(scope="module")
def client():
    return create_app().server.test_client()


@pytest.mark.parametrize(("search", "command"), QUESTIONS)
def test_every_number_is_the_commands(search, command):
    view, answered = verdict(question_of(search))
    said = json.loads(run("check", *command.split(), "--json").stdout)
    shown = texts(view)
    assert answered == {"search": search_of(question_of(search))}
    assert of_type(view[0], "P")[0].children.children[1].children == said["overall"]
    limits = (said["limits"]["safe_below"], said["limits"]["visible_from"])
    for finding in said["findings"]:
        assert finding["text"] in shown
        if finding["unit"] == "" and finding["value"] is not None:
            value = visibility_text(finding["value"], limits=limits)
            assert any(line.startswith(f"V {value} (") for line in shown)
        for fix in finding["fixes"]:
            assert fix["text"] in shown
    rows = of_type(view, "Tr")[1:]
    assert len(rows) == len(said["banding"]["levels"])
    for row, level in zip(rows, said["banding"]["levels"], strict=True):
        cells = texts(row)
        assert visibility_text(level["visibility"], limits=limits) in cells
        assert str(level["counts"]) in cells
    for line in (*said["conditions"], *said["assumptions"]):
        assert line in shown


def test_posted_as_a_browser_does(client):
    callback = callbacks(client)["..verdict.children...answer.data.."]
    answer = posted(client, callback, {"question.data": question_of(QUESTIONS[0][0])})
    assert answer.status_code == 200
    assert answer.json["response"]["answer"]["data"]["search"] == QUESTIONS[0][0]
    nothing = posted(client, callback, {"question.data": {}}).json["response"]
    assert nothing["answer"]["data"] is None
    assert "Choose a wall and a camera mode" in json.dumps(nothing["verdict"])


def test_nothing_is_answered_for_a_slip():
    view, answered = verdict(question_of("?wall=side-2.8&camera=cine-a-wide&fps=abc"))
    assert answered is None
    assert "No answer" in texts(view)[0]
    assert "Camera rate: " in texts(view)


def test_markup_in_a_name_stays_text():
    name = "<img src=x onerror=alert(1)> javascript:alert(1)"
    wall = f'[wall]\nname = "{name}"\nscan_lines = 16\ndrive = "spread"\n'
    wall += "counts_per_refresh = 409\nrefreshes_per_frame = 160\n"
    view, answered = verdict({"wall": "own", "wall_toml": wall, "camera": "cine-a-wide"})
    assert answered is not None
    assert any(name in line for line in texts(view))
    assert of_type(view, "Markdown", "DangerouslyAllowHTML", "A", "Link") == []
