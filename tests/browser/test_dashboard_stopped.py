"""A server that ends under a page: it says so, keeps what was typed, and goes on afterwards."""

from contextlib import contextmanager
from threading import Thread

import pytest
from waitress import create_server

from dashboard.app import create_app

pytestmark = pytest.mark.browser

LINK = "/?wall=stage-main-2.6&camera=cine-a-wide&shutter=172.8"
WORDS = "The server does not answer. What you typed is kept."


@pytest.fixture(scope="module")
def pages():
    return create_app().server


@contextmanager
def served(pages, port=0):
    """The screens at a port, until the block ends: then nobody listens there any more."""
    server = create_server(pages, host="127.0.0.1", port=port, threads=8)
    serving = Thread(target=server.run, daemon=True)
    serving.start()
    try:
        yield server.effective_port
    finally:
        server.task_dispatcher.shutdown(cancel_pending=True, timeout=10)
        for channel in list(server.active_channels.values()):
            channel.handle_close()
        server.close()
        serving.join(timeout=10)


@pytest.fixture
def page(chromium):
    """A page of its own, as what goes wrong here goes wrong on purpose."""
    context = chromium.new_context()
    opened = context.new_page()
    opened.set_default_timeout(60_000)
    yield opened
    context.close()


def test_a_server_that_stops_is_told_and_what_was_typed_is_kept(pages, page):
    with served(pages) as port:
        page.goto(f"http://127.0.0.1:{port}{LINK}")
        page.locator("#verdict .answer-word").wait_for()
        alert = page.get_by_role("alert").filter(has_text=WORDS)
        assert alert.count() == 0
    page.get_by_label("Camera rate").fill("25")
    alert.wait_for()
    page.get_by_role("textbox", name="Shutter").fill("90")
    assert page.get_by_label("Camera rate").input_value() == "25"
    with served(pages, port):
        alert.wait_for(state="detached")
        verdict = page.locator("#verdict")
        verdict.get_by_text("25 frames/s").first.wait_for()
        verdict.get_by_text("shutter 90°").first.wait_for()
        assert page.get_by_label("Camera rate").input_value() == "25"
        assert page.get_by_role("textbox", name="Shutter").input_value() == "90"
        assert "fps=25" in page.url
        assert "shutter=90" in page.url


def test_one_answer_that_is_lost_is_asked_for_again_without_a_word(pages, page):
    """As when one process of several ends while it works for this page."""
    lost = []

    def lose_first(route):
        if lost or '"..verdict.children' not in (route.request.post_data or ""):
            route.continue_()
        else:
            lost.append(route.request.post_data)
            route.abort("connectionreset")

    said = "window.said = []; new MutationObserver(() => window.said.push(" \
        "document.getElementById('connection')?.textContent || '')).observe(document, " \
        "{childList: true, subtree: true})"
    page.add_init_script(said)
    page.route("**/_dash-update-component*", lose_first)
    with served(pages) as port:
        page.goto(f"http://127.0.0.1:{port}{LINK}")
        page.locator("#verdict .answer-word").wait_for()
        assert len(lost) == 1
        assert WORDS not in page.evaluate("window.said")
