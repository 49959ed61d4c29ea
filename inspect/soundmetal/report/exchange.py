"""The whole scope for other programs: JSON with keys that stay, and a CSV of operations and blanks.

Lengths are mm, areas mm2, masses kg, times h; money is text with a point, in the currency that is named. Sentences
are in the reader's language; ids, kinds and stages never are. `docs/scope-data.md` tells every key.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Any

from soundmetal.grade.models import Spread, Step
from soundmetal.repair.models import Buying
from soundmetal.report.drawings.order_bars import Days
from soundmetal.report.job import Job
from soundmetal.report.shop_telling import Numbered, ShopTelling, shop_telling
from soundmetal.scope.models import Blank, Driver, Line, MoneyRange, Operation, Seam, Task
from soundmetal.scope.order_rules import Rule, order_rules

#: Goes up when a key is taken away or changes its meaning; new keys may come without.
LAYOUT = 1
#: Head of the CSV.
COLUMNS = (
    "row", "job", "panel", "findings", "id", "kind", "amount", "unit", "width_mm", "height_mm", "thickness_mm",
    "gauge", "bends", "mass_kg", "hours_low", "hours_likely", "hours_high", "source",
)  # fmt: skip
#: How a file of ours begins.
TABLE_HEAD = ",".join(COLUMNS[:6]).encode()


def scope_data(job: Job) -> dict[str, Any]:
    """Give the whole scope as plain data, ready for JSON."""
    shop, scope = shop_telling(job), job.scope
    vehicle = job.inspection.vehicle
    return {
        "layout": LAYOUT,
        "vehicle": {
            "year": vehicle.year, "make": vehicle.make, "model": vehicle.model,
            "body": job.body.id, "structure": job.body.structure.value,
        },
        "date": job.inspection.date.isoformat(),
        "basis": job.inspection.basis.value,
        "aim": scope.aim,
        "currency": job.shop.currency,
        "jobs": [_job(shop, one) for one in shop.jobs],
        "blanks": [_blank(one) for one in scope.blanks],
        "consumables": [
            {"id": c.id, "amount": _number(c.amount), "unit": c.unit, "price": str(c.price), "source": c.source}
            for c in scope.consumables
        ],
        "order": [_task(shop, task) for task in scope.order],
        "rules": [_rule(rule) for rule in order_rules().rules],
        "days": _spread(scope.days),
        "dates": [day.isoformat() for day in scope.dates],
        "total": _total(shop),
        "holds": _sentences(shop, scope.holds),
        "cautions": _sentences(shop, scope.cautions),
        "leaves_undone": _sentences(shop, scope.leaves_undone),
    }  # fmt: skip


def scope_csv(job: Job) -> str:
    """Give operations, then blanks, as CSV (UTF-8, comma, point), one a line."""
    stream = io.StringIO()
    writer = csv.DictWriter(stream, COLUMNS, restval="", lineterminator="\n")
    writer.writeheader()
    numbers = {one.work.panel: one.number for one in shop_telling(job).jobs}
    for work in job.scope.panels:
        writer.writerows(_operation_row(one, numbers.get(work.panel, "")) for one in work.operations)
    writer.writerows(_blank_row(one, numbers.get(one.panel, "")) for one in job.scope.blanks)
    return stream.getvalue()


def _job(shop: ShopTelling, job: Numbered) -> dict[str, Any]:
    work = job.work
    return {
        "number": job.number,
        "panel": work.panel,
        "method": job.method.value,
        "bought": work.choice.taken.bought,
        "buying": _buying(shop, work.choice.taken.buying),
        "findings": list(job.findings),
        "why": str(shop.lang.sentence(work.choice.reason).unescape()),
        "held": [str(line.unescape()) for line in shop.held(job)],
        "hours": _spread(work.hours),
        "price": _money(work.price),
        "growth": _spread(work.growth),
        "inner_chance": _number(work.inner_chance),
        "operations": [_operation(one) for one in work.operations],
        "blanks": [one.id for one in work.blanks],
        "seams": [_seam(one) for one in work.seams],
    }


def _operation(one: Operation) -> dict[str, Any]:
    return {
        "id": one.id, "kind": one.kind, "findings": list(one.findings), "driver": one.driver,
        "amount": _number(one.amount), "unit": one.unit, "hours": _spread(one.hours), "source": one.source,
    }  # fmt: skip


def _seam(one: Seam) -> dict[str, Any]:
    return {
        "kind": one.kind, "findings": list(one.findings), "length_mm": _number(one.length_mm),
        "process": one.process, "tacks": one.tacks, "plugs": one.plugs, "visible": one.visible,
    }  # fmt: skip


def _blank(one: Blank) -> dict[str, Any]:
    return {
        "id": one.id, "panel": one.panel, "findings": list(one.findings), "width_mm": _number(one.width_mm),
        "height_mm": _number(one.height_mm), "corner_radius_mm": _number(one.corner_radius_mm),
        "thickness_mm": _number(one.thickness_mm), "gauge": one.gauge, "form": one.form, "bends": one.bends,
        "bead_mm": _number(one.bead_mm), "mass_kg": _number(one.mass_kg), "sheet": one.sheet,
        "outline_mm": [[_number(x), _number(y)] for x, y in one.outline_mm],
    }  # fmt: skip


def _task(shop: ShopTelling, task: Task) -> dict[str, Any]:
    per_day, dates = shop.job.shop.policies.hours_per_day, shop.job.scope.dates
    days = Days(task.start_h / per_day, task.end_h / per_day)
    return {
        "id": task.id, "stage": task.stage, "text": str(shop.lang.sentence(task.text).unescape()),
        "panel": task.panel, "findings": list(task.findings), "hours": _number(task.hours), "away": task.away,
        "start_h": _number(task.start_h), "end_h": _number(task.end_h),
        "first_day": days.first, "last_day": days.last,
        "first_date": dates[days.first - 1].isoformat() if dates else None,
        "last_date": dates[days.last - 1].isoformat() if dates else None,
        "after": [{"id": name, "rule": rule} for name, rule in zip(task.after, task.because, strict=True)],
        "critical": task.critical, "total_float_h": _number(task.total_float_h),
        "free_float_h": _number(task.free_float_h),
        "held_by": task.held_by, "hold": str(shop.lang.text(task.hold).unescape()) if task.hold else "",
    }  # fmt: skip


def _rule(rule: Rule) -> dict[str, Any]:
    return {
        "id": rule.id, "before": rule.before, "then": rule.then, "of": rule.of, "within": rule.within,
        "kind": rule.kind, "why": rule.why, "source": rule.source, "confidence": rule.confidence,
    }  # fmt: skip


def _total(shop: ShopTelling) -> dict[str, Any]:
    total = shop.job.scope.total
    return {
        "net": str(total.net), "tax": str(total.tax), "likely": str(total.likely),
        "hours": _spread(total.hours), "price": _money(total.price),
        "deposit": str(total.deposit),
        "lines": [_line(shop, one) for one in total.lines],
        "drivers": [_driver(shop, one) for one in total.drivers],
    }  # fmt: skip


def _driver(shop: ShopTelling, one: Driver) -> dict[str, Any]:
    return {
        "cause": one.cause, "panel": one.panel, "name": one.name, "share": _number(one.share),
        "text": str(shop.lang.sentence(one.text).unescape()), "low": f"{one.low:.2f}", "high": f"{one.high:.2f}",
    }  # fmt: skip


def _buying(shop: ShopTelling, weighed: Buying | None) -> dict[str, Any] | None:
    if weighed is None:
        return None
    return {
        "make_h": _number(weighed.make_h), "sheet": str(weighed.sheet),
        "paid": None if weighed.paid is None else str(weighed.paid), "fit_h": _number(weighed.fit_h),
        "even_h": None if weighed.even_h is None else _number(weighed.even_h), "most": str(weighed.most),
        "text": str(shop.lang.sentence(weighed.text).unescape()),
    }  # fmt: skip


def _line(shop: ShopTelling, one: Line) -> dict[str, Any]:
    return {
        "kind": one.kind, "panel": one.panel, "findings": list(one.findings),
        "text": str(shop.lang.sentence(one.text).unescape()), "hours": _number(one.hours), "amount": str(one.amount),
    }  # fmt: skip


def _sentences(shop: ShopTelling, steps: Sequence[Step]) -> list[str]:
    return [str(shop.lang.sentence(step).unescape()) for step in steps]


def _operation_row(one: Operation, job: int | str) -> dict[str, object]:
    return {
        "row": "operation", "job": job, "panel": _cell(one.panel), "findings": _cell(" ".join(one.findings)),
        "id": _cell(one.id), "kind": one.kind, "amount": _number(one.amount), "unit": one.unit,
        "hours_low": _number(one.hours.low), "hours_likely": _number(one.hours.likely),
        "hours_high": _number(one.hours.high), "source": _cell(one.source),
    }  # fmt: skip


def _blank_row(one: Blank, job: int | str) -> dict[str, object]:
    return {
        "row": "blank", "job": job, "panel": _cell(one.panel), "findings": _cell(" ".join(one.findings)),
        "id": _cell(one.id), "kind": one.form, "amount": 1, "unit": "each", "width_mm": f"{one.width_mm:.2f}",
        "height_mm": f"{one.height_mm:.2f}", "thickness_mm": f"{one.thickness_mm:.3f}",
        "gauge": "" if one.gauge is None else one.gauge, "bends": one.bends, "mass_kg": f"{one.mass_kg:.3f}",
        "source": _cell(one.sheet),
    }  # fmt: skip


def _spread(spread: Spread) -> dict[str, float]:
    return {"low": _number(spread.low), "likely": _number(spread.likely), "high": _number(spread.high)}


def _money(price: MoneyRange) -> dict[str, str]:
    return {name: f"{value:.2f}" for name, value in _ends(price)}


def _ends(price: MoneyRange) -> Iterator[tuple[str, Decimal]]:
    yield from (("low", price.low), ("likely", price.likely), ("high", price.high))


def _number(value: float) -> float:
    """Round to 0.0001, far finer than anything is measured, so that files stay short and the same everywhere."""
    return round(float(value), 4) + 0.0


def _cell(text: str) -> str:
    """Keep a spreadsheet from taking a name for a formula."""
    return f"'{text}" if text[:1] in ("=", "+", "-", "@", "\t") else text
