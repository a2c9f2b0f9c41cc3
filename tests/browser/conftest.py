"""One Chromium for all browser tests: required where CI is set, skipped with a reason elsewhere."""

import os
import shutil

import pytest

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
ARGUMENTS = ("--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--hide-scrollbars")


def _missing(why):
    if os.environ.get("CI", "").lower() in ("1", "true", "yes"):
        pytest.fail(f"CI is set, so a browser is required: {why}")
    pytest.skip(why)


@pytest.fixture(scope="session")
def chromium():
    """The system's Chromium, started once."""
    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        _missing("playwright is not installed")
    path = next(filter(None, map(shutil.which, NAMES)), None)
    if path is None:
        _missing(f"no Chromium on this machine ({', '.join(NAMES)})")
    with sync_playwright() as started:
        browser = started.chromium.launch(executable_path=path, args=ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def dashboard():
    """Address of the screens, served as the command serves them."""
    from threading import Thread

    from waitress import create_server

    from dashboard.app import create_app

    server = create_server(create_app().server, host="127.0.0.1", port=0, threads=8)
    serving = Thread(target=server.run, daemon=True)
    serving.start()
    yield f"http://127.0.0.1:{server.effective_port}"
    server.task_dispatcher.shutdown(cancel_pending=True, timeout=10)
    for channel in list(server.active_channels.values()):
        channel.handle_close()
    server.close()
    serving.join(timeout=10)


@pytest.fixture
def screen(chromium, dashboard):
    """Opens a screen for one user; at the end nothing may have gone wrong behind it.

    `screen("/set?fps=48", width=390)` gives a page of a browser with a memory of its own.
    """
    contexts, wrong = [], []

    def opened(path="/", *, width=1280, height=900, theme="dark"):
        context = chromium.new_context(viewport={"width": width, "height": height})
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(60_000)
        page.add_init_script(f"window.localStorage.setItem('theme', '\"{theme}\"')")
        page.on("console", lambda line: line.type == "error" and wrong.append(line.text))
        page.on("pageerror", lambda error: wrong.append(str(error)))
        page.on("request", lambda asked: (
            asked.url.startswith((dashboard, "data:", "blob:")) or wrong.append(asked.url)
        ))
        page.goto(dashboard + path)
        return page

    yield opened
    for context in contexts:
        context.close()
    assert wrong == []
