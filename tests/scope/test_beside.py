"""Work beside: the same result as in turn, errors as in turn, nothing of the caller's runs twice."""

from __future__ import annotations

import os
import sys

import pytest

from soundmetal.scope import beside as module
from soundmetal.scope.beside import beside


def test_result_comes_back_and_other_work_goes_on() -> None:
    wait = beside(lambda: {"sum": sum(range(1000))})
    assert sum(range(10)) == 45
    assert wait() == {"sum": 499500}


def test_it_is_done_in_another_process_where_one_may_fork() -> None:
    forks = sys.platform == "linux" and (os.cpu_count() or 1) > 1
    assert (beside(os.getpid)() != os.getpid()) == forks


def test_an_error_is_raised_here() -> None:
    def broken() -> int:
        raise ValueError("by design")

    with pytest.raises(ValueError, match="by design"):
        beside(broken)()


def test_what_does_not_pickle_is_done_here() -> None:
    assert beside(lambda: lambda: 7)()() == 7


def test_without_a_fork_it_is_done_in_turn(monkeypatch: pytest.MonkeyPatch) -> None:
    def none_left() -> int:
        raise OSError("no more processes")

    monkeypatch.setattr(module.os, "fork", none_left)
    assert beside(os.getpid)() == os.getpid()
