"""Every screen by axe-core, in both themes, on a desk and on a phone."""

import pytest
from plan_cases import HEAD

from dashboard.state import search_of

pytestmark = pytest.mark.browser

QUESTION = "wall=stage-main-2.6&camera=cine-a-wide&shutter=172.8&lamp=mains-50-tungsten"
LENS = "focal_mm=35&f_number=2.8&distance_m=6&focus_m=4"
PLAN = f'{HEAD}[[setup]]\nname = "one"\ncamera = "A"\nsurfaces = ["main"]\n'
OWN_PLAN = search_of({"plan": "own", "plan_toml": PLAN})
SCREENS = {
    "cold": ("/", "#verdict .waiting"),
    "answered": (f"/?{QUESTION}&{LENS}", "#focus-map .main-svg"),
    "refused": (f"/?{QUESTION}&fps=abc", "#verdict .errors"),
    "on set, cold": ("/set", "main h1"),
    "on set": (f"/set?{QUESTION}&to_fps=48", ".answer-word"),
    "what is it": ("/seen?seen=stays_on_same_leds%3Dno", ".next-test"),
    "plan, cold": ("/plan", ".plan-choose"),
    "plan": (f"/plan{OWN_PLAN}", "text=The set-up is computed."),
    "plan, refused": ("/plan?plan=own", ".plan-faults .errors"),
    "card": (f"/card?{QUESTION}", "main h1"),
    "measure": (f"/measure?{QUESTION}", "main h2"),
    "profiles": (f"/profiles?{QUESTION}", "main h1"),
}


def violations(page):
    from axe_playwright_python.sync_playwright import Axe

    found = Axe().run(page).response["violations"]
    return [f"{each['id']}: {node['html'][:200]}" for each in found for node in each["nodes"]]


@pytest.mark.parametrize("theme", ["dark", "light"])
@pytest.mark.parametrize("name", SCREENS)
def test_nobody_is_kept_out(screen, name, theme):
    path, ready = SCREENS[name]
    page = screen(path, theme=theme, width=390 if theme == "light" else 1280)
    page.locator(ready).first.wait_for()
    for each in page.locator("summary, .plan-cell").all():
        each.click()
    assert violations(page) == []
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
