"""The main screen in a real browser."""

import json

import pytest
from cli_run import run

pytestmark = pytest.mark.browser

SETTING = ("--wall", "stage-main-2.6", "--camera", "cine-a-wide", "--fps", "24", "--angle", "172.8")
LINK = "/?wall=stage-main-2.6&camera=cine-a-wide&shutter=172.8"


def words_of(page):
    return page.locator("#verdict .answer-word .level-word").inner_text().lower()


def test_a_cold_start_answers_nothing_until_it_is_asked(screen):
    page = screen()
    page.get_by_text("Choose a wall and a camera mode").wait_for()
    assert page.locator("#verdict .answer-word").count() == 0
    page.get_by_label("Wall", exact=True).select_option("stage-main-2.6")
    page.get_by_label("Camera mode").select_option("cine-a-wide")
    page.locator("#verdict .answer-word").wait_for()
    page.get_by_label("Shutter °").fill("172.8")
    page.locator("#verdict").get_by_text("172.8").first.wait_for()
    said = json.loads(run("check", *SETTING, "--json").stdout)
    assert words_of(page) == said["overall"]


def test_the_link_reproduces_the_screen(screen):
    first = screen(LINK)
    first.locator("#verdict .answer-word").wait_for()
    first.get_by_label("Camera rate").fill("25")
    first.locator("#verdict").get_by_text("25 frames/s").first.wait_for()
    address = first.url
    assert "fps=25" in address
    second = screen(address[address.index("/?"):])
    second.locator("#verdict .answer-word").wait_for()
    assert second.get_by_label("Camera rate").input_value() == "25"
    assert second.locator("#verdict").inner_text() == first.locator("#verdict").inner_text()


def test_what_is_wrong_is_said_beside_the_field_and_kept(screen):
    page = screen(LINK)
    page.locator("#verdict .answer-word").wait_for()
    page.get_by_label("Camera rate").fill("24 or so")
    page.locator(".field-fps .field-error").get_by_text("24 or so").wait_for()
    assert page.get_by_label("Camera rate").input_value() == "24 or so"
    assert page.locator("#verdict .answer-word").count() == 0
    assert page.get_by_label("Camera rate").get_attribute("aria-invalid") == "true"


def test_two_users_never_see_each_others_values(screen):
    one, other = screen(LINK), screen(LINK.replace("172.8", "90"))
    one.locator("#verdict .answer-word").wait_for()
    other.locator("#verdict .answer-word").wait_for()
    one.get_by_label("Camera rate").fill("50")
    one.locator("#verdict").get_by_text("50 frames/s").first.wait_for()
    assert other.get_by_label("Camera rate").input_value() == "24"
    assert "90°" in other.locator("#verdict .answer-setting").inner_text()


def test_the_three_questions_are_answered_from_one_link(screen):
    page = screen(f"{LINK}&focal_mm=35&f_number=2.8&distance_m=6&focus_m=4")
    page.locator("#verdict .answer-word").wait_for()
    page.locator("#ranges table").wait_for()
    page.locator("#map-told").get_by_text("Map of 8 frame rates").wait_for()
    page.locator("#frame img").nth(1).wait_for()
    for graph in ("ripple", "timeline", "focus-map", "tear"):
        page.locator(f"#{graph} .main-svg").first.wait_for()


def test_a_setting_is_taken_from_the_answer(screen):
    page = screen(LINK)
    take = page.locator("#ranges button.take").first
    take.wait_for()
    wanted = take.inner_text().split()[-1].removesuffix("°")
    take.click()
    page.locator("#verdict .answer-word .level-safe").wait_for()
    assert page.get_by_label("Shutter °").input_value().startswith(wanted[:5])
    assert words_of(page) == "safe"
    assert f"shutter={page.get_by_label('Shutter °').input_value()}" in page.url


def test_by_keyboard_alone(screen):
    page = screen("/")
    page.get_by_text("Choose a wall").wait_for()
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Skip to the page"
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.tagName") == "SELECT"
    page.keyboard.type("stage, main")
    page.keyboard.press("Tab")
    page.keyboard.type("cinema body A, wide")
    page.keyboard.press("Tab")
    page.keyboard.press("Control+A")
    page.keyboard.type("25")
    page.keyboard.press("Tab")
    page.keyboard.press("Control+A")
    page.keyboard.type("1/50")
    page.locator("#verdict").get_by_text("1/50 s").first.wait_for()
    said = json.loads(run(
        "check", "--wall", "stage-main-2.6", "--camera", "cine-a-wide", "--fps", "25",
        "--speed", "1/50", "--json",
    ).stdout)
    assert words_of(page) == said["overall"]


def test_the_theme_is_kept(screen):
    page = screen("/")
    page.get_by_role("button", name="Light screen").click()
    page.get_by_role("button", name="Dark screen").wait_for()
    assert page.evaluate("document.documentElement.dataset.theme") == "light"


def test_a_new_rate_changes_verdict_map_and_card(screen):
    page = screen(LINK)
    page.locator("#map-told").get_by_text("set now: 24 frames/s").wait_for()
    page.get_by_label("Camera rate").fill("25")
    page.locator("#verdict").get_by_text("25 frames/s").first.wait_for()
    page.locator("#map-told").get_by_text("set now: 25 frames/s").wait_for()
    page.get_by_role("link", name="Card").click()
    page.locator(".page-card").get_by_text("at 25 frames/s").first.wait_for()
