"""Plans made in text for tests: a head with one camera, one surface, one lamp."""

import pytest

from bandcheck.errors import ProfileError
from bandcheck.shoot.plan_file import parse_plan

__all__ = ["HEAD", "faults_of", "plan_of"]

HEAD = """
[plan]
name = "test shoot"
[defaults]
rates = [24]
angle_deg = 172.8
levels_pct = [100, 50]
lamps = ["desk"]
[[surface]]
name = "main"
wall = "side-2.8"
[[camera]]
name = "A"
profile = "cine-a-wide"
[[lamp]]
name = "desk"
profile = "mains-50-tungsten"
"""


def plan_of(text):
    """Plan of a text."""
    return parse_plan(text, file="test.toml")


def faults_of(text):
    """Faults that a plan is refused for."""
    with pytest.raises(ProfileError) as caught:
        plan_of(text)
    return caught.value.faults
