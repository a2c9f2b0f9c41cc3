"""What every answer of the server has: health, small size, caching, and nothing kept between."""

import gzip
import re

import pytest

from dashboard.app import create_app, create_server

# What compresses a file leaves its closing to Python.
pytestmark = pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning")

PAGE = {
    "output": "..content.children...navigation.children..",
    "outputs": [{"id": "content", "property": "children"},
                {"id": "navigation", "property": "children"}],
    "inputs": [{"id": "address", "property": "pathname", "value": "/"},
               {"id": "address", "property": "search", "value": ""}],
    "changedPropIds": ["address.pathname"],
}
PAGE_LOAD = r'"end_id":"[^"]+"'
"""A number of dash's own for every page loaded, which only callbacks in the background ask for."""

PLOTLY = "/_dash-component-suites/plotly/package_data/plotly.min.js"


@pytest.fixture(scope="module")
def client():
    app = create_app()
    return app.server.test_client()


def got(client, address, offered="identity"):
    """Answer to a request, read to its end."""
    with client.get(address, headers={"Accept-Encoding": offered}) as answer:
        assert answer.status_code == 200, address
        answer.get_data()  # kept by the answer from here on
        return answer


def linked(client):
    """Addresses of every script and style that the first page asks for."""
    return re.findall(r'(?:src|href)="([^"]+\.(?:js|css)[^"]*)"', got(client, "/").text)


def test_it_says_that_it_is_well(client):
    answer = client.get("/healthz")
    assert (answer.status_code, answer.text) == (200, "OK")


# A browser offers br and zstd only to an encrypted or a local address: a phone on the network
# has gzip and deflate.
@pytest.mark.parametrize("offered", ["gzip, deflate", "gzip, deflate, br, zstd"])
def test_every_text_is_compressed(client, offered):
    addresses = ["/", "/_dash-layout", "/_dash-dependencies", PLOTLY, *linked(client)]
    assert len(addresses) > 10
    for address in addresses:
        plain = len(got(client, address).data)
        answer = got(client, address, offered)
        if plain < 500:
            continue
        assert answer.headers["Content-Encoding"] in offered
        assert len(answer.data) < 0.6 * plain, address


def test_answers_of_callbacks_are_compressed(client):
    plain = client.post("/_dash-update-component", json=PAGE).data
    answer = client.post(
        "/_dash-update-component", json=PAGE, headers={"Accept-Encoding": "gzip"}
    )
    assert answer.headers["Content-Encoding"] == "gzip"
    assert gzip.decompress(answer.data) == plain
    assert len(answer.data) < 0.4 * len(plain)


def test_what_has_a_name_of_its_own_version_is_kept_by_browsers(client):
    versioned = [each for each in linked(client) if re.search(r"\.v\d|\?m=", each)]
    assert len(versioned) > 10
    for address in versioned:
        assert "max-age=31536000" in got(client, address).headers["Cache-Control"]
    for address in ("/", "/healthz", "/_dash-layout"):
        assert "max-age" not in got(client, address).headers.get("Cache-Control", "")


def test_a_request_beyond_any_question_is_refused(client):
    answer = client.post("/_dash-update-component", json={**PAGE, "state": "x" * 1_000_001})
    assert answer.status_code == 413


def test_any_of_several_processes_may_answer(client):
    other = create_server().test_client()
    for address in ("/", "/_dash-layout", "/_dash-dependencies"):
        one, two = got(client, address), got(other, address)
        assert re.sub(PAGE_LOAD, "", one.text) == re.sub(PAGE_LOAD, "", two.text)
        policy = "Content-Security-Policy"
        assert one.headers[policy] == two.headers[policy]
    answers = [each.post("/_dash-update-component", json=PAGE).json for each in (client, other)]
    assert answers[0] == answers[1]
