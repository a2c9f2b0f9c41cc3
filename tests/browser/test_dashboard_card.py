"""The card's screen in a real browser: made, looked at, downloaded, made anew."""

import pytest

from dashboard.pages.card.asked_card import asked_card, card_files, figures_of
from dashboard.state import question_of

pytestmark = pytest.mark.browser

LINK = "/card?wall=stage-quiet-1.9&camera=cine-a-wide"
NAME = "card_stage-quiet-wall_cinema-body-a-wide_2026-03-02"
FORMS = {"PDF": ".pdf", "PNG": ".png", "HTML": ".html", "CSV": ".csv", "JSON": ".json"}


def test_a_card_is_made_seen_and_downloaded(screen):
    page = screen(LINK)
    page.get_by_label("Date").fill("2026-03-02")
    page.wait_for_url("**date=2026-03-02**")
    page.get_by_role("button", name="Make the card").click()
    page.get_by_text("Computing 1 rate: 24 frames/s").wait_for()
    picture = page.locator("#card-picture")
    picture.wait_for()
    assert picture.get_attribute("src").startswith("data:image/png;base64,")
    assert "stage, quiet wall filmed by cinema body A, wide" in picture.get_attribute("alt")
    assert picture.evaluate("image => image.decode().then(() => image.naturalWidth)") > 1000
    question = question_of(page.url.partition("?")[2])
    files = card_files(figures_of(asked_card(question)), paper="a4")
    for form, ending in FORMS.items():
        with page.expect_download() as download:
            page.get_by_role("button", name=f"{form}, ").click()
        assert download.value.suggested_filename == f"{NAME}{ending}"
        assert download.value.path().read_bytes() == files[ending], ending
    page.get_by_label("Version").fill("2")
    page.get_by_text("Make it again").wait_for()


def test_a_cold_start_makes_no_card_and_a_stopped_one_does_not_come(screen):
    page = screen("/card")
    page.get_by_text("Choose a wall and a camera mode").first.wait_for()
    page.get_by_role("button", name="Make the card").click()
    page.locator("#card-progress").get_by_text("Choose a wall").wait_for()
    assert page.locator("#card-made").is_hidden()
    page.get_by_label("Wall", exact=True).select_option("stage-quiet-1.9")
    page.get_by_label("Camera mode").select_option("cine-a-wide")
    page.locator("#card-told").get_by_text("stage, quiet wall filmed by").wait_for()
    page.get_by_role("button", name="Make the card").click()
    page.get_by_role("button", name="Stop").click()
    page.get_by_text("Stopped.").wait_for()
    page.wait_for_load_state("networkidle")
    assert page.locator("#card-made").is_hidden()
    assert page.locator("#card-progress").inner_text() == "Stopped."
