"""Every formula says what it claims, in which units, how far it holds, and from where: in a fixed order."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
from collections.abc import Callable, Iterator

import pytest

import soundmetal.calc

#: Guards and exact factors are no formulas.
NO_FORMULAS = {"limits", "units"}
SECTIONS = ["Parameters", "Returns", "Notes", "Examples", "References"]


def formulas() -> Iterator[Callable[..., object]]:
    for module in pkgutil.iter_modules(soundmetal.calc.__path__):
        if module.name in NO_FORMULAS:
            continue
        found = importlib.import_module(f"soundmetal.calc.{module.name}")
        for name, function in inspect.getmembers(found, inspect.isfunction):
            if not name.startswith("_") and function.__module__ == found.__name__:
                yield function


ALL = list(formulas())


def test_there_are_formulas() -> None:
    assert len(ALL) > 40


@pytest.mark.parametrize("function", ALL, ids=lambda f: f"{f.__module__.rsplit('.', 1)[1]}.{f.__name__}")
def test_docstring(function: Callable[..., object]) -> None:
    text = inspect.getdoc(function) or ""
    assert re.findall(r"^(\w+)\n-+$", text, re.MULTILINE) == SECTIONS
    _head, parameters, returns, notes, examples, references = re.split(r"^\w+\n-+$", text, flags=re.MULTILINE)
    described = dict(re.findall(r"^(\w+) : .+\n((?:    .+\n?)+)", parameters, re.MULTILINE))
    assert list(described) == list(inspect.signature(function).parameters)
    assert [name for name, words in described.items() if not words.strip().endswith("]")] == [], "no unit"
    assert re.search(r"\[[^\]]+\]$", returns.strip()), "the result has no unit"
    assert "RANGE OF VALIDITY" in notes
    assert ">>>" in examples
    assert references.strip()


@pytest.mark.parametrize("function", ALL, ids=lambda f: f"{f.__module__.rsplit('.', 1)[1]}.{f.__name__}")
def test_every_argument_is_typed(function: Callable[..., object]) -> None:
    signature = inspect.signature(function)
    assert all(one.annotation is not one.empty for one in signature.parameters.values())
    assert signature.return_annotation is not signature.empty
