"""Every body on every structure, built once."""

from __future__ import annotations

from typing import Any

import pytest

from soundmetal.car import catalogue
from soundmetal.car.models import Body

EVERY = [(name, structure.value) for name, structures in catalogue.bodies() for structure in structures]


def pytest_generate_tests(metafunc: Any) -> None:
    """Run a test that asks for `car` on every body and structure."""
    if "car" in metafunc.fixturenames:
        metafunc.parametrize("car", EVERY, indirect=True, ids=["-".join(one) for one in EVERY])


@pytest.fixture
def car(request: pytest.FixtureRequest) -> Body:
    name, structure = request.param
    return catalogue.body(name, structure)
