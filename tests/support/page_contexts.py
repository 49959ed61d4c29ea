"""What the tests of both papers share: a template is told exactly what its documented context holds."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from typing import get_args, get_type_hints

from jinja2 import Environment, FileSystemLoader, meta, nodes

from soundmetal.paths import template_dir

#: Attributes and functions that are the template language's own.
JINJA_OWN = {"first", "last", "length", "index"}


def parsed(name: str) -> Iterator[nodes.Template]:
    """The template and those that it takes in."""
    environment = Environment(loader=FileSystemLoader(template_dir()), autoescape=True)
    tree = environment.parse((template_dir() / name).read_text(encoding="utf-8"))
    yield tree
    for other in meta.find_referenced_templates(tree):
        assert other is not None, f"{name} takes in a template that it names only at run time"
        yield from parsed(other)


def rows_of(context: type) -> set[str]:
    """The names of the rows that a context holds, and of theirs."""
    found: set[str] = set()
    for hint in get_type_hints(context).values():
        for part in (hint, *get_args(hint)):
            if dataclasses.is_dataclass(part):
                found |= {field.name for field in dataclasses.fields(part)} | rows_of(part)
    return found


def assert_names(name: str, context: type) -> None:
    """Names used in a template are those of its context: none more, none less."""
    used = {one for tree in parsed(name) for one in meta.find_undeclared_variables(tree)}
    assert used - {"_"} == {field.name for field in dataclasses.fields(context)}


def assert_row_names(name: str, context: type) -> None:
    """Names used of rows are those that the rows of the context have."""
    used = {node.attr for tree in parsed(name) for node in tree.find_all(nodes.Getattr)}
    assert used - JINJA_OWN == rows_of(context)


def assert_documented(context: type) -> None:
    """A context says what its fields are, and cannot be changed on its way to the page."""
    assert context.__doc__
    assert dataclasses.is_dataclass(context)
    assert context.__dataclass_params__.frozen  # type: ignore[attr-defined]
