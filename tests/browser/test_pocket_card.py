"""The pocket card in a browser: from a file, without a network, on a phone, by keyboard."""

import json

import pytest
from card_cases import LONG, crowded_card, plain_card

from bandcheck.report.card_html import card_html
from bandcheck.report.card_pocket import pocket_data

pytestmark = pytest.mark.browser

PHONE = {"width": 390, "height": 844}
TARGETS = ".rates label, .pocket button, #dial"


@pytest.fixture
def opened(chromium, tmp_path):
    """Opens a card from a file and fails where the page complains or reaches out."""
    contexts, faults = [], []

    def open_card(figures, **settings):
        file = tmp_path / "card.html"
        file.write_text(card_html(figures), encoding="utf-8")
        context = chromium.new_context(viewport=PHONE, offline=True, **settings)
        contexts.append(context)
        page = context.new_page()
        page.on("console", lambda message: faults.append(message.text))
        page.on("pageerror", lambda error: faults.append(str(error)))
        page.on("request", lambda request: faults.append(request.url)
                if request.url != file.as_uri() else None)
        page.goto(file.as_uri())
        return page

    yield open_card
    for context in contexts:
        context.close()
    assert faults == []


def verdict(page):
    return page.inner_text("#word")


def test_it_opens_on_what_the_card_says_to_dial(opened):
    page = opened(plain_card())
    assert page.input_value("#dial") == "270"
    assert verdict(page) == "SAFE"
    assert page.inner_text("#mark") == "="
    assert page.inner_text("#why") == "if the phase is kept"
    assert page.inner_text("#phase").startswith("0.00 to 2.41 ms")


@pytest.mark.parametrize("card", [plain_card, crowded_card])
def test_it_shows_every_grade_that_was_computed(opened, card):
    page = opened(card())
    for place, rate in enumerate(pocket_data(card())["rates"]):
        page.check(f"input[name=rate][value='{place}']")
        for setting in rate["settings"]:
            for name in setting["names"]:
                page.fill("#dial", name)
                assert verdict(page) == setting["level"].upper(), (rate["fps"], name)
                assert page.inner_text("#why") == setting["why"]
                assert f"verdict {setting['level']}" in page.get_attribute("#verdict", "class")


@pytest.mark.parametrize("typed", [
    "", "179.9", "180.01", "150", "1/51", "0", "-180", "1e2", "abc", "180 180", "<b>", "999999999",
])
def test_what_was_not_computed_is_unknown(opened, typed):
    page = opened(plain_card())
    page.fill("#dial", typed)
    assert verdict(page) == "UNKNOWN"
    assert page.inner_text("#why") == "not computed for this card"
    for name in ("room", "phase", "lowest", "roll"):
        assert page.inner_text(f"#{name}") == "unknown"


@pytest.mark.parametrize("typed", ["180", "180.0", " 180 ", "180°", "180,00", "1/48", "1/48 s"])
def test_a_setting_is_known_by_every_way_to_write_it(opened, typed):
    page = opened(plain_card())
    page.fill("#dial", typed)
    level = next(
        each["level"] for each in pocket_data(plain_card())["rates"][0]["settings"]
        if "180" in each["names"]
    )
    assert verdict(page) == level.upper()


def test_a_grade_of_one_rate_is_not_shown_at_another(opened):
    page = opened(plain_card())
    page.fill("#dial", "1/48")
    assert verdict(page) != "UNKNOWN"
    page.check("input[name=rate][value='1']")
    page.fill("#dial", "1/48")
    assert verdict(page) == "UNKNOWN"


def test_a_rate_that_cannot_be_run_says_so(opened):
    page = opened(crowded_card())
    last = len(crowded_card().rates) - 1
    page.check(f"input[name=rate][value='{last}']")
    assert verdict(page) == "UNKNOWN"
    assert "cannot be run" in page.inner_text("#none")


def test_thumbs_step_from_setting_to_setting(opened):
    page = opened(plain_card())
    seen = []
    for _ in range(9):
        seen.append(page.input_value("#dial"))
        page.click("#less")
    assert seen == ["270", "180", "172.8", "144", *["90"] * 5]
    page.fill("#dial", "175")
    page.click("#more")
    assert page.input_value("#dial") == "180"
    page.fill("#dial", "175")
    page.click("#less")
    assert page.input_value("#dial") == "172.8"


def test_safe_settings_are_one_touch_away(opened):
    page = opened(plain_card())
    page.fill("#dial", "90")
    page.click("#offered button >> nth=0")
    assert (page.input_value("#dial"), verdict(page)) == ("270", "SAFE")


def test_the_keyboard_reaches_everything(opened):
    page = opened(plain_card())
    page.keyboard.press("Tab")
    page.keyboard.press("ArrowRight")
    assert page.is_checked("input[name=rate][value='1']")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.id") == "less"
    page.keyboard.press("Enter")
    assert page.input_value("#dial") == "180"
    page.keyboard.press("Tab")
    page.keyboard.press("ArrowDown")
    assert page.input_value("#dial") == "172.8"
    page.keyboard.press("ArrowUp")
    assert page.input_value("#dial") == "180"
    page.keyboard.press("Tab")
    page.keyboard.press("Space")
    assert page.input_value("#dial") == "270"


@pytest.mark.parametrize("card", [plain_card, crowded_card])
@pytest.mark.parametrize("width", [320, 390, 1280])
def test_everything_fits_the_screen_and_a_thumb(opened, card, width):
    page = opened(card())
    page.set_viewport_size({"width": width, "height": 844})
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    boxes = [each.bounding_box() for each in page.query_selector_all(TARGETS) if each.is_visible()]
    assert len(boxes) >= len(card().rates) + 3
    assert all(box["height"] >= 48 and box["width"] >= 48 for box in boxes)
    for place, one in enumerate(boxes):
        for other in boxes[place + 1 :]:
            across = min(one["x"] + one["width"], other["x"] + other["width"]) - max(
                one["x"], other["x"])
            down = min(one["y"] + one["height"], other["y"] + other["height"]) - max(
                one["y"], other["y"])
            assert across <= 0 or down <= 0
    if width == 390:
        shown = page.query_selector("#verdict").bounding_box()
        assert shown["y"] + shown["height"] <= 844


LUMINANCE = """
(name) => {
  const style = (each) => getComputedStyle(each);
  const light = (colour) => colour.match(/[0-9.]+/g).slice(0, 3).map(Number).map((value) => {
    const part = value / 255;
    return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
  }).reduce((sum, part, place) => sum + part * [0.2126, 0.7152, 0.0722][place], 0);
  let behind = document.querySelector(name);
  const ink = style(behind).color;
  while (/, 0\\)$/.test(style(behind).backgroundColor)) { behind = behind.parentElement; }
  return [light(ink), light(style(behind).backgroundColor)];
}
"""


@pytest.mark.parametrize("dialled", ["270", "144", "90", "123"])
def test_it_is_dark_and_read_at_arms_length(opened, dialled):
    page = opened(plain_card())
    page.fill("#dial", dialled)
    for name in ("#word", "#why", "#mark", "#dial", "#room", ".facts dt", ".label", "#more"):
        ink, behind = page.evaluate(LUMINANCE, name)
        # WCAG 2.1, 1.4.6: 7 to 1 for text.
        contrast = (max(ink, behind) + 0.05) / (min(ink, behind) + 0.05)
        assert contrast >= 7, (name, contrast)
    assert page.evaluate(LUMINANCE, ".pocket")[1] < 0.02
    sizes = page.evaluate("""["#word", "#dial", "#why"].map(
        (name) => parseFloat(getComputedStyle(document.querySelector(name)).fontSize))""")
    assert sizes[0] >= 36
    assert sizes[1] >= 28
    assert sizes[2] >= 16


def test_a_change_of_verdict_is_announced(opened):
    page = opened(plain_card())
    assert page.get_attribute("#verdict", "role") == "status"
    assert page.get_attribute("#verdict", "aria-live") == "polite"
    for box in page.query_selector_all("input, button"):
        named = box.evaluate("each => each.ariaLabel || each.textContent || each.labels.length")
        assert named


def test_a_name_with_marks_in_it_is_shown_as_it_is(opened):
    page = opened(crowded_card())
    assert page.inner_text(".pocket h1").startswith(" ".join(LONG[:60].split()))
    assert json.loads(page.inner_text("#held") or page.text_content("#held"))["rates"]


def test_without_scripts_the_whole_card_is_there(opened):
    page = opened(plain_card(), java_script_enabled=False)
    assert "Scripts are off" in page.inner_text("noscript")
    assert "What voids this card" in page.inner_text("article")
