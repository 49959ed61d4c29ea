"""A template of the packet is told exactly what its documented context holds: no name more, no name less."""

from __future__ import annotations

import dataclasses
from typing import get_args, get_type_hints

import pytest
from jinja2 import Environment, FileSystemLoader, meta, nodes

from soundmetal.paths import template_dir
from soundmetal.report import shop_contexts as contexts
from soundmetal.report import shop_plan_contexts as plans

PAGES: dict[str, type] = {
    "shop/packet.html": contexts.Packet,
    "shop/front.html": contexts.Front,
    "shop/job.html": contexts.JobPage,
    "shop/sheets.html": plans.Sheets,
    "shop/others.html": contexts.Others,
    "shop/order.html": plans.Order,
    "shop/wall.html": plans.Wall,
}
JINJA_OWN = {"first", "last", "length", "index"}


def parsed(name: str) -> nodes.Template:
    environment = Environment(loader=FileSystemLoader(template_dir()), autoescape=True)
    return environment.parse((template_dir() / name).read_text(encoding="utf-8"))


def rows_of(context: type) -> set[str]:
    found: set[str] = set()
    for hint in get_type_hints(context).values():
        for part in (hint, *get_args(hint)):
            if dataclasses.is_dataclass(part):
                found |= {field.name for field in dataclasses.fields(part)} | rows_of(part)
    return found


@pytest.mark.parametrize("name", PAGES)
def test_names_used_equal_names_documented(name: str) -> None:
    fields = {field.name for field in dataclasses.fields(PAGES[name])}
    assert meta.find_undeclared_variables(parsed(name)) - {"_"} == fields


@pytest.mark.parametrize("name", PAGES)
def test_names_of_rows_equal_names_documented(name: str) -> None:
    used = {node.attr for node in parsed(name).find_all(nodes.Getattr)}
    assert used - JINJA_OWN == rows_of(PAGES[name])


@pytest.mark.parametrize("context", PAGES.values())
def test_contexts_are_documented_and_frozen(context: type) -> None:
    assert context.__doc__
    assert context.__dataclass_params__.frozen  # type: ignore[attr-defined]
