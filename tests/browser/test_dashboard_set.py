"""The quick screen in a real browser, on a phone."""

import json

import pytest
from card_cases import plain_card
from cli_run import run

from bandcheck.report.card_json import card_values

pytestmark = pytest.mark.browser

LINK = "/set?wall=stage-main-2.6&camera=cine-a-wide&shutter=172.8"
SETTING = ("--wall", "stage-main-2.6", "--camera", "cine-a-wide", "--fps", "24", "--angle", "172.8")
PHONE = {"width": 390, "height": 844}
THUMB_PX = 48


def words_of(page):
    return page.locator("#set-answer .answer-word .level-word").inner_text().lower()


def answered(page, setting):
    page.locator("#set-answer .answer-setting").get_by_text(setting).wait_for()


def test_from_a_cold_start_to_the_setting_that_is_safe(screen):
    page = screen("/set", **PHONE)
    page.get_by_text("Choose a wall and a camera mode").wait_for()
    page.get_by_role("button", name="48", exact=True).click()
    page.get_by_label("Wall", exact=True).select_option("stage-main-2.6")
    page.get_by_label("Camera mode").select_option("cine-a-wide")
    page.get_by_label("Shutter ° or s", exact=True).fill("172.8")
    answered(page, "48 frames/s, 172.8°")
    said = json.loads(run("change", *SETTING, "--to-fps", "48", "--json").stdout)
    assert words_of(page) == said["overall"]
    page.locator("button.dial").click()
    answered(page, "48 frames/s, 171°")
    taken = run("change", *SETTING, "--to-fps", "48", "--to-angle", "171", "--json")
    assert words_of(page) == json.loads(taken.stdout)["overall"] == "safe"
    address = page.url
    again = screen(address[address.index("/set"):], **PHONE)
    answered(again, "48 frames/s, 171°")
    for part in ("#set-before", "#set-answer", "#set-more"):
        assert again.locator(part).inner_text() == page.locator(part).inner_text()


def test_one_thumb_in_the_dark(screen):
    page = screen(f"{LINK}&to_fps=48", **PHONE)
    answered(page, "48 frames/s, 172.8°")
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    targets = page.locator(".page button:visible, .page input:visible, .page summary:visible")
    boxes = [each.bounding_box() for each in targets.all()]
    assert len(boxes) >= 10
    assert [box for box in boxes if min(box["width"], box["height"]) < THUMB_PX] == []
    answer = page.locator("#set-answer .answer").bounding_box()
    assert answer["y"] + answer["height"] <= PHONE["height"]
    size = page.locator(".answer-word .level-word").evaluate(
        "word => parseFloat(getComputedStyle(word).fontSize)"
    )
    assert size >= 32


def choose(page, file):
    with page.expect_file_chooser() as chooser:
        page.get_by_role("button", name="Read a card's file").press("Enter")
    chooser.value.set_files(file)


def test_a_card_is_read_and_its_link_holds_it(screen, tmp_path):
    path = tmp_path / "card.json"
    path.write_text(json.dumps(card_values(plain_card())), encoding="utf-8")
    page = screen("/set", **PHONE)
    page.get_by_role("button", name="25", exact=True).click()
    page.wait_for_url("**to_fps=25")
    choose(page, path)
    answered(page, "25 frames/s")
    assert plain_card().shot.wall.name in page.locator("#set-before").inner_text()
    said = json.loads(run("change", "--card", path, "--to-fps", "25", "--json").stdout)
    assert words_of(page) == said["overall"]
    page.wait_for_function("!location.search.includes('chosen')")
    assert "wall_toml=" in page.url
    address = page.url
    again = screen(address[address.index("/set"):], **PHONE)
    answered(again, "25 frames/s")
    assert again.locator("#set-answer").inner_text() == page.locator("#set-answer").inner_text()
    page.get_by_text("What stood before").click()
    page.get_by_label("Camera rate").fill("25")
    page.locator("#set-before").get_by_text("25 frames/s").wait_for()
    choose(page, path)  # the same card once more: what was typed over it goes
    page.locator("#set-before").get_by_text("24 frames/s").wait_for()


@pytest.mark.parametrize(("content", "said"), [
    (b"no card", "not JSON"), (b"\xff\xfe\x00", "not UTF-8"), (b'{"schema": "x/1"}', "schema"),
    (b'"' + b"x" * 300_000 + b'"', "256 kB"),
    (b'{"schema": "bandcheck.card/1", "question": "' + b"x" * 300_000 + b'"}', "256 kB"),
])
def test_what_is_no_card_is_said_beside_the_upload(screen, content, said):
    page = screen("/set", **PHONE)
    page.get_by_text("Choose a wall").wait_for()
    choose(page, {"name": "a.json", "mimeType": "text/plain", "buffer": content})
    page.locator("#set-card-told").get_by_text(said).wait_for()
    assert page.locator("#set-answer .answer-word").count() == 0
