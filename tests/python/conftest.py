"""Fixtures of the Python tests."""

from __future__ import annotations

from typing import Any

import pytest
import underlet as ul


@pytest.fixture
def day() -> dict[str, Any]:
    """Return a valid brew day, a new one for each test."""
    return ul.examples()["pale-ale-10hl"]


@pytest.fixture(params=sorted(ul.examples()))
def plan(request: pytest.FixtureRequest) -> ul.Plan:
    """Return the plan of each built-in day in turn."""
    return ul.plan(ul.examples()[request.param])
