"""What is it, in a real browser: from nothing seen to one fault, with a thumb."""

import pytest

pytestmark = pytest.mark.browser


def test_answers_lead_to_one_fault_and_stay_in_the_link(screen):
    page = screen("/seen", width=390, height=844)
    page.get_by_role("heading", name="Look at this next").wait_for()
    for _ in range(9):
        if page.locator(".found").count():
            break
        asked = page.locator(".next-test").inner_text()
        page.locator(".tell").get_by_role("button", name="No").click()
        page.wait_for_function(
            "before => document.querySelector('.next-test')?.textContent !== before", arg=asked
        )
    found = page.locator(".found").inner_text()
    assert "seen=" in page.url
    other = screen(page.url[page.url.index("/seen"):])
    other.locator(".found").wait_for()
    assert other.locator(".found").inner_text() == found
