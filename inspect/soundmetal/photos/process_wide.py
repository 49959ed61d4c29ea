"""Settings that a library holds for the whole process, set only while somebody needs them."""

from __future__ import annotations

from abc import ABC, abstractmethod
from contextlib import ExitStack
from threading import Lock
from types import TracebackType


class ProcessWide(ABC):
    """Settings of the whole process: whoever comes first sets them, whoever leaves last puts them back."""

    def __init__(self) -> None:
        """Begin with nobody inside."""
        self._lock = Lock()
        self._depth = 0
        self._undo = ExitStack()

    @abstractmethod
    def set(self, undo: ExitStack) -> None:
        """Set them, and tell `undo` how they were."""

    def __enter__(self) -> None:
        """Set them unless somebody has already."""
        with self._lock:
            if self._depth == 0:
                self.set(self._undo)
            self._depth += 1

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Put them back unless somebody is still inside."""
        with self._lock:
            self._depth -= 1
            if self._depth == 0:
                self._undo.close()
