"""The shoot plan in a real browser: computed while one waits, tapped, edited, compared, linked."""

import pytest
from plan_cases import HEAD

pytestmark = pytest.mark.browser

TEXT = HEAD + """
[[setup]]
name = "one"
camera = "A"
surfaces = ["main"]
[[setup]]
name = "two"
like = "one"
angle_deg = 150
"""


def uploaded(page, button, content, name="shoot.toml"):
    with page.expect_file_chooser() as chooser:
        page.get_by_role("button", name=button).click()
    chooser.value.set_files({"name": name, "mimeType": "application/toml", "buffer": content})


def test_a_plan_from_its_file_to_the_shot(screen):
    page = screen("/plan", width=390, height=844)
    uploaded(page, "Upload a plan", b"x" * 262_145)
    page.get_by_text("262145 bytes; a plan has at most 262144").wait_for()
    uploaded(page, "Upload a plan", TEXT.encode())
    page.get_by_text("All 2 set-ups computed.").wait_for()
    assert page.locator(".plan-cell").count() == 2
    page.locator(".plan-cell").nth(1).focus()
    page.keyboard.press("Enter")
    page.get_by_role("heading", name="two, 24 frames/s").wait_for()
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")

    other = screen(page.url[page.url.index("/plan"):])
    other.get_by_text("All 2 set-ups computed.").wait_for()
    shown = page.locator(".plan-matrix").inner_text()
    assert other.locator(".plan-matrix").inner_text() == shown

    page.locator(".plan-links a").first.click()
    page.locator("#verdict .answer-word").wait_for()
    assert page.get_by_label("Camera rate").input_value() == "24"
    assert page.get_by_label("Shutter", exact=False).first.input_value() == "150"
    page.get_by_role("link", name="Plan").click()
    page.get_by_text("All 2 set-ups computed.").wait_for()


def test_what_is_typed_is_kept_and_faults_stand_beside_it(screen):
    page = screen("/plan")
    uploaded(page, "Upload a plan", TEXT.encode())
    page.locator(".plan-cell").first.wait_for()
    text = page.locator(".plan-text")
    if not text.is_visible():
        page.get_by_text("Text of the plan").click()
    wrong = TEXT.replace('"cine-a-wide"', '"cine-a-wid"').replace("150", "999")
    text.fill(wrong)
    page.get_by_text("2 faults:").wait_for()
    assert page.locator(".plan-faults li").count() == 2
    assert page.locator(".plan-cell").count() == 0
    assert text.input_value() == wrong
    page.get_by_label("Shoot plan").select_option("night-train")
    page.locator(".plan-cell").first.wait_for()
    page.get_by_role("button", name="Bring back the text before").click()
    page.get_by_text("2 faults:").wait_for()
    assert text.input_value() == wrong
    text.fill(TEXT)
    page.get_by_text("All 2 set-ups computed.").wait_for()

    uploaded(page, "Upload the other", TEXT.replace("150", "180").encode(), name="old.toml")
    page.get_by_text("1 settings are void").wait_for()
    assert "set-up two: angle_deg was 180, is 150" in page.locator("#plan-compared").inner_text()
