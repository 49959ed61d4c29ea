"""Who may import whom: the house has floors, and nothing reaches upward.

Read from the syntax tree of every file, so that an import inside a function or under TYPE_CHECKING counts as well.
"""

from __future__ import annotations

import ast
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

import soundmetal

PACKAGE = Path(soundmetal.__file__).resolve().parent

#: The ground that everything stands on: modules at the top that are not named below, and the data's loader.
BASE = frozenset({"data", "errors", "paths", "words"})
MIDDLE = BASE | {"calc", "handbook", "record"}
HOUSE = MIDDLE | {"car", "folder", "photos"}
ALL_ROOMS = HOUSE | {"grade", "repair", "scope", "report"}

#: What each part may import of the project, besides itself.
MAY_IMPORT: dict[str, frozenset[str]] = {
    "errors": frozenset(),
    "paths": frozenset({"errors"}),
    "words": frozenset(),
    "data": frozenset({"errors", "paths", "words"}),
    "calc": BASE,
    "handbook": BASE,
    "record": BASE,
    "car": MIDDLE,
    "folder": MIDDLE | {"car", "photos"},
    "photos": MIDDLE | {"car", "folder"},
    "grade": HOUSE,
    "repair": HOUSE | {"grade"},
    "scope": HOUSE | {"grade", "repair"},
    "report": HOUSE | {"grade", "repair", "scope"},
    "pipeline": ALL_ROOMS,
    "cutting": ALL_ROOMS,
    "photo_review": ALL_ROOMS | {"pipeline"},
    "review": ALL_ROOMS | {"pipeline", "photo_review"},
    "learning": ALL_ROOMS | {"pipeline"},
    "explaining": ALL_ROOMS | {"pipeline", "review", "learning"},
    "placing": ALL_ROOMS,
    "restoring": ALL_ROOMS | {"pipeline"},
    "starting": ALL_ROOMS | {"pipeline", "restoring", "terminal", "options"},
    "answering": ALL_ROOMS | {"pipeline"},
    "comparing": ALL_ROOMS | {"pipeline"},
    "letters": ALL_ROOMS | {"answering", "comparing", "pipeline", "terminal", "options"},
    "yarding": ALL_ROOMS | {"terminal", "options"},
    "web": ALL_ROOMS | {"pipeline", "review", "explaining"},
    "terminal": BASE,
    "running": BASE | {"terminal"},
    "options": BASE | {"terminal"},
    "photographing": ALL_ROOMS | {"pipeline", "photo_review", "review", "placing", "terminal", "options"},
    "cli": ALL_ROOMS
    | {
        "pipeline",
        "review",
        "explaining",
        "web",
        "terminal",
        "running",
        "options",
        "photographing",
        "cutting",
        "letters",
        "starting",
        "yarding",
    },
    "__main__": frozenset({"cli"}),
    "__init__": frozenset(),
}

#: Packages of others that only some parts may use, by the reason they came for.
ONLY_IN: dict[str, frozenset[str]] = {
    "typer": frozenset({"cli", "running", "options", "photographing", "letters", "starting", "yarding"}),
    "click": frozenset({"cli"}),
    "rich": frozenset({"cli", "terminal"}),
    "weasyprint": frozenset({"report"}),
    "jinja2": frozenset({"report", "web"}),
    "exifread": frozenset({"photos"}),
    "ezdxf": frozenset({"scope"}),
    "pillow_heif": frozenset({"photos"}),
}

#: `calc` is formulas on floats: nothing that reads, writes, parses or asks.
CALC_MAY_IMPORT = frozenset(
    {
        "soundmetal",
        "__future__",
        "bisect",
        "collections",
        "dataclasses",
        "enum",
        "functools",
        "itertools",
        "math",
        "numpy",
        "typing",
    }
    | {"numbers", "operator", "statistics", "types"}
)

#: What only a door may use: the clock, the way out, the screen.
FOR_DOORS = frozenset(
    {
        "datetime.now",
        "datetime.today",
        "datetime.utcnow",
        "datetime.datetime.now",
        "date.today",
        "datetime.date.today",
    }
    | {"time.time", "time.localtime", "time.strftime", "sys.exit", "SystemExit", "print", "input"}
)


def part_of(path: Path, package: Path = PACKAGE) -> str:
    """Give the part a file belongs to: its folder just under the package, or its own name."""
    inside = path.relative_to(package)
    return inside.parts[0] if len(inside.parts) > 1 else inside.stem


def tree_of(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"), filename=str(path))


class House:
    """The files of a package, each with its part and its imports."""

    def __init__(self, package: Path) -> None:
        self.package = package
        self.files = {path: part_of(path, package) for path in sorted(package.rglob("*.py"))}

    def imports(self, path: Path) -> Iterator[tuple[str, str]]:
        """Give `file:line` and full name of everything a file imports, relative imports made absolute."""
        home = ["soundmetal", *path.relative_to(self.package).parent.parts]
        for node in ast.walk(tree_of(path)):
            where = f"{path.relative_to(self.package).as_posix()}:{getattr(node, 'lineno', 0)}"
            if isinstance(node, ast.Import):
                yield from ((where, alias.name) for alias in node.names)
            elif isinstance(node, ast.ImportFrom):
                start = home[: len(home) - node.level + 1] if node.level else []
                module = ".".join([*start, *filter(None, [node.module])])
                yield from ((where, f"{module}.{alias.name}") for alias in node.names)

    def own(self, path: Path) -> Iterator[tuple[str, str, str]]:
        """Give place, part and full name of what a file imports of the project."""
        for where, name in self.imports(path):
            top, _, rest = name.partition(".")
            part = rest.split(".")[0]
            if top == "soundmetal":
                known = (self.package / part).is_dir() or (self.package / f"{part}.py").is_file()
                yield where, part if known and part else "__init__", name

    def upward(self) -> list[str]:
        """List the imports that reach upward. A top module without rules of its own is part of the ground."""
        return [
            f"{where} imports {name}"
            for path, here in self.files.items()
            for where, part, name in self.own(path)
            if part in MAY_IMPORT.keys() - MAY_IMPORT.get(here, BASE) - {here, "__init__"}
        ]

    def strayed(self) -> list[str]:
        """List the imports of other people's packages outside the parts they came for, and calc's of all else."""
        return [
            f"{where} imports {name}"
            for path, here in self.files.items()
            for where, name in self.imports(path)
            for top in [name.split(".")[0]]
            if here not in ONLY_IN.get(top, {here}) or (here == "calc" and top not in CALC_MAY_IMPORT)
        ]

    def deep(self) -> list[str]:
        """List the places where the web pages go past the report's front door."""
        return [
            f"{where} imports {name}"
            for path, here in self.files.items()
            for where, part, name in self.own(path)
            if (here, part) == ("web", "report") and name.count(".") > 2
        ]

    def doors_only(self) -> list[str]:
        """List the clocks, exits and prints below the doors."""
        return [
            f"{path.relative_to(self.package).as_posix()}:{node.lineno} uses {ast.unparse(node)}"
            for path, here in self.files.items()
            if here not in {"cli", "photographing", "terminal", "web", "__main__"}
            for node in ast.walk(tree_of(path))
            if isinstance(node, (ast.Attribute, ast.Name)) and ast.unparse(node) in FOR_DOORS
        ]

    def rings(self) -> dict[str, list[str]]:
        """Give the parts that need each other in a ring, with what each still waits for."""
        needs: dict[str, set[str]] = {here: set() for here in self.files.values()}
        for path, here in self.files.items():
            needs[here] |= {part for _where, part, _name in self.own(path)} - {here, "__init__"}
        ground: set[str] = set()
        while free := {part for part, wants in needs.items() if part not in ground and wants <= ground}:
            ground |= free
        return {part: sorted(wants - ground) for part, wants in needs.items() if part not in ground}


SOUNDMETAL = House(PACKAGE)


def test_nothing_reaches_upward() -> None:
    assert SOUNDMETAL.upward() == []


def test_packages_of_others_stay_in_their_room() -> None:
    assert SOUNDMETAL.strayed() == []


def test_the_pages_use_the_report_by_its_front_door() -> None:
    assert SOUNDMETAL.deep() == []


def test_no_clock_no_exit_and_no_print_below_the_doors() -> None:
    """The same folder gives the same bytes, and only a door knows how a program ends and who reads it."""
    assert SOUNDMETAL.doors_only() == []


def test_parts_do_not_need_each_other_in_a_ring() -> None:
    assert SOUNDMETAL.rings() == {}


def test_the_files_are_really_read() -> None:
    assert {"calc", "car", "data", "errors", "folder", "handbook", "photos", "record"} <= set(
        SOUNDMETAL.files.values()
    )
    assert any(part == "errors" for path in SOUNDMETAL.files for _where, part, _name in SOUNDMETAL.own(path))


@pytest.fixture
def house(tmp_path: Path) -> Callable[[dict[str, str]], House]:
    """Give a function that builds a small package from file names and texts."""

    def build(texts: dict[str, str]) -> House:
        for name, text in texts.items():
            path = tmp_path / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        return House(tmp_path)

    return build


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("calc/bend.py", "from soundmetal.grade import level"),
        ("calc/bend.py", "from soundmetal import grade"),
        ("calc/bend.py", "from ..grade import level"),
        ("calc/bend.py", "def f():\n    import soundmetal.grade.level"),
        (
            "record/models.py",
            "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    from soundmetal.grade import level",
        ),
        ("texts.py", "from soundmetal.grade import level"),
    ],
)
def test_an_upward_import_is_caught(house: Callable[[dict[str, str]], House], name: str, text: str) -> None:
    assert len(house({name: text, "grade/level.py": ""}).upward()) == 1


def test_a_downward_import_is_not(house: Callable[[dict[str, str]], House]) -> None:
    built = house({"grade/level.py": "from soundmetal import __version__, calc\nfrom soundmetal.texts import say"})
    assert built.upward() == built.strayed() == built.doors_only() == []


def test_the_other_rules_bite_too(house: Callable[[dict[str, str]], House]) -> None:
    built = house(
        {
            "calc/bend.py": "import pydantic\nfrom soundmetal import handbook",
            "handbook/tables.py": "from soundmetal import calc\nimport typer\nprint(1)",
            "report/html.py": "from datetime import datetime\nSTAMP = datetime.now()",
            "web/app.py": "from soundmetal.report.html import page",
        }
    )
    assert built.strayed() == ["calc/bend.py:1 imports pydantic", "handbook/tables.py:2 imports typer"]
    assert built.rings() == {"calc": ["handbook"], "handbook": ["calc"]}
    assert built.doors_only() == ["handbook/tables.py:3 uses print", "report/html.py:2 uses datetime.now"]
    assert built.deep() == ["web/app.py:1 imports soundmetal.report.html.page"]
