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
