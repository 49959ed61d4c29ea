"""Work done beside the rest on another core, in a forked copy of this process; where that cannot be, in its turn."""

from __future__ import annotations

import contextlib
import os
import pickle
import sys
import warnings
from collections.abc import Callable
from typing import TypeVar

Result = TypeVar("Result")


def beside(task: Callable[[], Result]) -> Callable[[], Result]:
    """Begin a task on another core; give a function that waits for its result.

    The task must be pure and its result must pickle. Should the copy fail, the task is done here instead, so that an
    error is raised as if it had been done here all along. Only on Linux: elsewhere a fork beside system libraries is
    not safe, and starting a fresh process would take longer than it saves.
    """
    if sys.platform != "linux" or (os.cpu_count() or 1) < 2:
        return task
    reading, writing = os.pipe()
    try:
        with warnings.catch_warnings():  # newer Pythons warn of threads; the copy takes no lock that one could hold
            warnings.simplefilter("ignore", DeprecationWarning)
            child = os.fork()
    except OSError:
        os.close(reading)
        os.close(writing)
        return task
    if not child:
        os.close(reading)
        _deliver(task, writing)
    os.close(writing)
    return lambda: _collected(task, child, reading)


def _deliver(task: Callable[[], Result], writing: int) -> None:
    """Do the task in the copy and end it there, whatever happens: nothing of the caller's may run twice."""
    code = 1
    try:
        with os.fdopen(writing, "wb") as stream:
            stream.write(pickle.dumps(task(), pickle.HIGHEST_PROTOCOL))
        code = 0
    finally:
        os._exit(code)


def _collected(task: Callable[[], Result], child: int, reading: int) -> Result:
    with os.fdopen(reading, "rb") as stream:
        data = stream.read()
    status = 1
    with contextlib.suppress(ChildProcessError):
        status = os.waitpid(child, 0)[1]
    if status or not data:
        return task()
    result: Result = pickle.loads(data)  # noqa: S301 - written by our own copy a moment ago
    return result
