"""The scope for other programs: every key is documented, figures are the scope's, whatever the language."""

from __future__ import annotations

import csv
import dataclasses
import datetime as dt
import io
import json
import re
from collections.abc import Callable, Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from soundmetal.report.exchange import COLUMNS, TABLE_HEAD, scope_csv, scope_data
from soundmetal.report.job import Job
from soundmetal.scope.work import all_aims

DOCS = Path(__file__).resolve().parents[2] / "docs" / "scope-data.md"
#: Keys of ranges, told once for all of them.
OF_RANGES = {"low", "likely", "high"}


def worked_out(job: Job) -> Job:
    return dataclasses.replace(job, scopes=all_aims(job.inspection, job.body, job.shop, job.book, job.grades))


@pytest.fixture(scope="module")
def bench(job: Job) -> Job:
    return worked_out(job)


@pytest.fixture(scope="module")
def told(bench: Job) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(json.dumps(scope_data(bench), allow_nan=False))
    return found


def keys(value: Any) -> Iterator[str]:
    if isinstance(value, dict):
        for key, inner in value.items():
            yield key
            yield from keys(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from keys(inner)


@pytest.mark.checkout
def test_every_key_is_documented(told: dict[str, Any]) -> None:
    documented = set(re.findall(r"`(\w+)`", DOCS.read_text(encoding="utf-8")))
    assert set(keys(told)) - documented - OF_RANGES == set()
    assert set(COLUMNS) <= documented


def test_prices_add_up_to_the_cent(told: dict[str, Any]) -> None:
    total = told["total"]
    assert sum(Decimal(line["amount"]) for line in total["lines"]) == Decimal(total["likely"])
    assert Decimal(total["net"]) + Decimal(total["tax"]) == Decimal(total["likely"])


def test_deposit_drivers_and_buying_are_the_scopes(bench: Job, told: dict[str, Any]) -> None:
    total = told["total"]
    assert Decimal(total["deposit"]) == bench.scope.total.deposit
    assert [one["share"] for one in total["drivers"]] == [round(d.share, 4) for d in bench.scope.total.drivers]
    assert total["drivers"]
    assert all(Decimal(one["low"]) <= 0 <= Decimal(one["high"]) for one in total["drivers"])
    weighed = {one["panel"]: one["buying"] for one in told["jobs"]}
    for work in bench.scope.panels:
        ours = work.choice.taken.buying
        assert (ours is None) == (weighed.get(work.panel) is None)
        if ours is not None:
            assert Decimal(weighed[work.panel]["most"]) == ours.most
            assert Decimal(weighed[work.panel]["sheet"]) == ours.sheet


def test_the_order_can_be_followed(told: dict[str, Any]) -> None:
    ends, rules = {}, {rule["id"] for rule in told["rules"]}
    for step in told["order"]:
        assert all(ends[before["id"]] <= step["start_h"] + 1e-3 for before in step["after"])
        assert {before["rule"] for before in step["after"]} <= rules
        ends[step["id"]] = step["end_h"]
    panels = {job["panel"] for job in told["jobs"]}
    assert {step["panel"] for step in told["order"]} - {""} <= panels


def test_ids_and_figures_are_the_same_in_every_language(bench: Job, told: dict[str, Any]) -> None:
    spanish = dataclasses.replace(bench, inspection=bench.inspection.model_copy(update={"language": "es"}))
    other = json.loads(json.dumps(scope_data(spanish)))
    sentences = {"why", "held", "text", "hold", "holds", "cautions", "leaves_undone"}
    assert without(other, sentences) == without(told, sentences)
    assert other["cautions"] != told["cautions"]


def without(value: Any, left_out: set[str]) -> Any:
    if isinstance(value, dict):
        return {key: without(inner, left_out) for key, inner in value.items() if key not in left_out}
    return [without(inner, left_out) for inner in value] if isinstance(value, list) else value


def test_dates_come_with_a_start(job_with: Callable[..., Job], told: dict[str, Any]) -> None:
    dated = scope_data(worked_out(job_with(starts=dt.date(2026, 11, 27))))
    assert dated["order"][0]["first_date"] == "2026-11-27"
    assert dated["dates"][1] == "2026-11-30"
    assert told["dates"] == []
    assert {step["first_date"] for step in told["order"]} == {None}


def test_the_table_holds_every_operation_and_blank(bench: Job) -> None:
    text = scope_csv(bench)
    assert text.encode().startswith(TABLE_HEAD)
    rows = list(csv.DictReader(io.StringIO(text)))
    operations = [row for row in rows if row["row"] == "operation"]
    blanks = [row for row in rows if row["row"] == "blank"]
    assert [row["id"] for row in operations] == [o.id for work in bench.scope.panels for o in work.operations]
    assert [row["id"] for row in blanks] == [blank.id for blank in bench.scope.blanks]
    likely = sum(o.hours.likely for work in bench.scope.panels for o in work.operations)
    assert sum(float(row["hours_likely"]) for row in operations) == pytest.approx(likely, abs=1e-4 * len(operations))
    assert text == scope_csv(bench)
