"""The screen for profiles in a real browser."""

import tomllib

import pytest
from cli_run import run

from bandcheck.shoot.profiles import load_wall, parse_wall, shipped_folder

pytestmark = pytest.mark.browser

LINK = "/profiles?wall=stage-main-2.6&camera=cine-a-wide&shutter=172.8"
SIDE = shipped_folder() / "walls" / "side-2.8.toml"


@pytest.fixture
def opened(screen):
    """The screen with its first answer on it."""

    def open_page(path=LINK, **settings):
        page = screen(path, **settings)
        page.locator(".profile-use, .profile-wrong").first.wait_for()
        return page

    return open_page


def figure(page, key):
    return page.locator(f"[id='{{\"figure\":\"{key}\"}}']")


def wrong(page, key):
    return page.locator(f"[id='{{\"figure_wrong\":\"{key}\"}}']")


def upload(page, name, content):
    with page.expect_file_chooser() as chosen:
        page.get_by_text("Upload a TOML file").click()
    chosen.value.set_files(
        {"name": name, "mimeType": "application/octet-stream", "buffer": content}
    )


def test_a_figure_edited_in_place_changes_the_verdict(opened, tmp_path):
    page = opened()
    figure(page, "refresh_hz").fill("480")
    page.get_by_text("Use this wall in the shot").wait_for()
    with page.expect_download() as got:
        page.get_by_text("Download as TOML").click()
    file = tmp_path / got.value.suggested_filename
    got.value.save_as(file)
    page.get_by_text("Use this wall in the shot").click()
    page.locator("#verdict .answer-word").wait_for()
    figures = page.locator("#verdict .answer-figure").inner_text().split(": ")[1]
    before, after = (
        run("check", "--wall", wall, "--camera", "cine-a-wide", "--fps", "24", "--angle", "172.8")
        .stdout for wall in ("stage-main-2.6", file)
    )
    assert figures in after
    assert figures not in before
    again = opened(page.url[page.url.index("/?"):].replace("/?", "/profiles?"))
    assert again.get_by_text("The shot uses this wall.").is_visible()
    assert figure(again, "refresh_hz").input_value() == "480"


def test_nothing_typed_is_lost_after_an_error(opened):
    page = opened()
    figure(page, "peak_nits").fill("777")
    figure(page, "pitch_mm").fill("2,6")
    wrong(page, "pitch_mm").get_by_text('"2,6" is not accepted').wait_for()
    assert figure(page, "pitch_mm").get_attribute("aria-invalid") == "true"
    assert "777" in figure(page, "peak_nits").input_value()
    for name, content, words in (
        ("photo.png", b"\x89PNG", "photo.png: a profile is a text file"),
        ("bad.toml", b"[wall]\nname = ", "bad.toml: line 2"),
        ("big.toml", b"#" * 300_000, "big.toml: 300000 bytes; a profile has at most 262144"),
        ("huge.toml", b"#" * 3_000_000, "huge.toml: 3000000 bytes"),
        ("<img src=x onerror=alert(1)>.toml", b"\0", "<img src=x onerror=alert(1)>.toml: "),
    ):
        upload(page, name, content)
        page.locator("#profile-told").get_by_text(words).wait_for()
        assert figure(page, "pitch_mm").input_value() == "2,6"
    page.get_by_label("Camera", exact=True).check()
    figure(page, "readout_ms").wait_for()
    page.get_by_label("Wall", exact=True).check()
    figure(page, "pitch_mm").wait_for()
    assert figure(page, "pitch_mm").input_value() == "2,6"
    page.reload()
    wrong(page, "pitch_mm").get_by_text('"2,6" is not accepted').wait_for()
    assert figure(page, "peak_nits").input_value() == "777"


def test_a_file_goes_in_with_its_faults_beside_their_fields_and_comes_out(opened):
    page = opened()
    upload(page, "side.toml", SIDE.read_bytes().replace(b"pitch_mm = 2.8", b"pitch_mm = -2.8"))
    wrong(page, "pitch_mm").get_by_text("-2.8 is not accepted").wait_for()
    figure(page, "pitch_mm").fill("2.8")
    page.get_by_text("Use this wall in the shot").wait_for()
    with page.expect_download() as got:
        page.get_by_text("Download as TOML").click()
    name = tomllib.loads(SIDE.read_text())["wall"]["name"]
    assert got.value.suggested_filename.startswith(f"wall-{name.split()[0]}")
    text = got.value.path().read_text(encoding="utf-8")
    assert parse_wall(text, file="side") == load_wall("side-2.8")


def test_figures_begun_anew_can_be_brought_back(opened):
    page = opened()
    figure(page, "pitch_mm").fill("9.9")
    page.get_by_text("Your own figures, begun from").wait_for()
    page.get_by_label("Begin from").select_option("ceiling-8")
    page.get_by_text("as it is.").wait_for()
    assert figure(page, "pitch_mm").input_value() == "8"
    page.get_by_text("Bring back the figures before").click()
    page.get_by_text("Your own figures.").wait_for()
    assert figure(page, "pitch_mm").input_value() == "9.9"


def test_the_keyboard_reaches_the_files_and_every_figure_says_what_it_is(opened):
    page = opened()
    page.get_by_label("Begin from").focus()
    page.keyboard.press("Tab")
    with page.expect_file_chooser():
        page.keyboard.press("Enter")
    figure(page, "scan_lines").focus()
    assert page.get_by_text("Lines that share a driver").is_visible()
    described = figure(page, "scan_lines").get_attribute("aria-describedby")
    assert page.locator(f"[id='{described}']").inner_text().startswith("Needed. Lines that share")


@pytest.mark.parametrize("width", [320, 390])
def test_a_phone_has_one_column(opened, width):
    page = opened(width=width, theme="light")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    one, two = (each.bounding_box() for each in page.locator(".profile-row .field").all()[:2])
    assert two["y"] >= one["y"] + one["height"]
