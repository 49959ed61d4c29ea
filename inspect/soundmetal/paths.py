"""Where the files lie that are shipped beside the code but are not code."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from soundmetal.errors import Place, SettingsError

#: A file that only the right folder has: its presence tells the templates from any other folder of that name.
KNOWN_FILE = Path("fonts", "OFL.txt")

_PACKAGE = Path(__file__).resolve().parent


def first_with(known: Path, places: tuple[Path, ...]) -> Path:
    """Give the first of `places` that holds the file `known` (a path relative to it).

    Raises SettingsError, naming every place, when none does: the installation is incomplete.
    """
    for place in places:
        if (place / known).is_file():
            return place
    looked_in = " and ".join(str(place) for place in places)
    raise SettingsError(f"no {known.as_posix()} in {looked_in}", place=Place(key="templates"), todo="Install again.")


@cache
def template_dir() -> Path:
    """Give the folder with `customer`, `shop`, `web` and `fonts`.

    A wheel carries it inside the package; in a checkout, and so in an editable install, it lies at the root, where
    `importlib.resources` would not see it. Raises SettingsError when it lies in neither place.

    >>> sorted(path.name for path in (template_dir() / "fonts").glob("*.txt"))
    ['OFL.txt']
    """
    return first_with(KNOWN_FILE, (_PACKAGE / "templates", _PACKAGE.parents[1] / "templates"))
