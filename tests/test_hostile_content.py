"""Profiles, plans, cards, pictures and addresses that were spoiled are read or refused plainly.

The other half is `tests/benchmarks/fuzz.py`, which searches longer; what it found stands here.
"""

import pytest
from doors import DOORS, outcome, samples, spoiled
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

TRIES = {"profile": 150, "plan": 60, "card": 60, "picture": 100, "address": 100, "verdict": 40}

FOUND = {
    "card": [
        b'{"schema": 1e999}', b"[" * 100_000, b'{"schema": "bandcheck.card/1", "question": [1]}',
    ],
    "address": [b"?fps=%ff", b"?" + b"a=b&" * 200, b"?wall_toml=eJwDAAAAAAE", b"?fps=\xff"],
    "picture": [b"", b"\xff\xd8\xff", b"II*\0", b"1\n" * 60 + b"1e308\n" * 3, b"0\n" * 100],
}


@pytest.fixture(scope="module", params=DOORS)
def door(request):
    return request.param, samples(request.param)


def test_what_is_spoiled_there_is_good_at_first(door):
    name, known = door
    assert {outcome(name, content) for content in known} == {""}


def test_spoiled_content_is_read_or_refused_plainly(door):
    name, known = door
    ends = []

    @settings(derandomize=True, deadline=None, database=None, max_examples=TRIES[name],
              suppress_health_check=list(HealthCheck))
    @given(st.sampled_from(known), st.randoms(use_true_random=False))
    def tried(content, chance):
        ends.append(outcome(name, spoiled(content, chance)))

    tried()
    spoiled_ends = sum(map(bool, ends))
    assert spoiled_ends > len(ends) / 20 or name == "address", "hardly anything is spoiled"


@pytest.mark.parametrize(
    ("name", "content"), [(name, each) for name, several in FOUND.items() for each in several]
)
def test_what_a_search_might_try_is_read_or_refused_plainly(name, content):
    outcome(name, content)


def test_a_number_beyond_all_bounds_in_a_card_is_refused_by_name():
    card = samples("card")[0].replace(b'"per_rate": {', b'"per_rate": {"x": 1e999, ', 1)
    assert "given.json: " in outcome("card", card)


def test_a_card_nested_too_deep_is_refused_by_name():
    card = samples("card")[0]
    for deep in (500, 900, 950, 980, 5000):
        nest = b'"per_rate": {"x": ' + b"[" * deep + b"]" * deep + b", "
        assert "given.json: " in outcome("card", card.replace(b'"per_rate": {', nest, 1))
