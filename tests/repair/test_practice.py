from __future__ import annotations

from typing import Any

import pytest

from soundmetal.data import DATA
from soundmetal.errors import SettingsError, UnknownName
from soundmetal.record.terms import Aim
from soundmetal.repair import practice as module
from soundmetal.repair.models import Method
from soundmetal.repair.practice import practice, rule_steps


def test_every_method_has_a_rule_with_a_source() -> None:
    rules = practice().rules
    assert {rule.method for rule in rules.values() if rule.method} == {method.value for method in Method}
    assert all(rule.source and rule.reason.endswith(".") for rule in rules.values())


def test_every_aim_dresses_with_operations_that_the_shop_book_has(bench: Any) -> None:
    for aim in Aim:
        asks = practice().aims[aim]
        assert {asks.dress_visible, asks.dress_hidden} <= set(bench.shop().operations)


def test_a_rule_can_be_explained() -> None:
    steps = rule_steps("R7")
    assert "least expected price" in steps[0].text
    assert steps[1].values["kind"] == "common practice"
    with pytest.raises(UnknownName, match="R7"):
        rule_steps("R77")


def test_wrong_data_names_file_and_key(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "read_yaml", lambda _name: {"rules": {}, "aims": {"perfect": {}}})
    practice.cache_clear()
    try:
        with pytest.raises(SettingsError, match=r"methods\.yaml, aims"):
            practice()
    finally:
        practice.cache_clear()


def test_the_file_is_there() -> None:
    assert (DATA / module.FILE).is_file()
