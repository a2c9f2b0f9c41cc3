"""Rows of the tables in tests/reference, as parameters for a test."""

import tomllib
from pathlib import Path

import numpy as np
import pytest

_FOLDER = Path(__file__).parents[1] / "reference"
_KEYS = {"id", "quantity", "given", "expected", "tolerance", "kind", "source", "agreement"}


def reference_rows(table, quantity=None):
    """Parameters, one a row of `table`, of one quantity where it is named."""
    rows = tomllib.loads((_FOLDER / f"{table}.toml").read_text(encoding="utf-8"))["row"]
    for row in rows:
        missing = _KEYS - row.keys()
        assert not missing, f"{table}: {row.get('id')}: {missing}"
    chosen = [row for row in rows if quantity in (None, row["quantity"])]
    assert chosen, f"{table}: no row for {quantity}"
    return [pytest.param(row, id=row["id"]) for row in chosen]


def assert_agrees(row, actual):
    """Fail unless `actual` is what the row expects, within the row's tolerance (ratio)."""
    np.testing.assert_allclose(
        actual, row["expected"], rtol=row["tolerance"], atol=0.0, err_msg=row["source"]
    )
