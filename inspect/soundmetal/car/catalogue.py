"""The catalogue of bodies: puts zone kinds, plan sheets, steels and access groups together, once, from data."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from itertools import chain
from typing import Any

from shapely import Point as Spot
from shapely import Polygon
from shapely.ops import polylabel

from soundmetal.car.models import Body, Outline, Point, Zone, ZonePlan
from soundmetal.car.reading import (
    BODIES,
    SHARED,
    BodyEntry,
    Kind,
    Placed,
    Reader,
    Shared,
    Sheet,
    checked,
    entries,
    kinds,
    mapping,
    settings_error,
    shared,
    sheet,
    sheet_file,
)
from soundmetal.car.sides import has_side, mirrored, other_side, reworded
from soundmetal.data import read_yaml
from soundmetal.errors import UnknownName
from soundmetal.record.terms import Structure
from soundmetal.words import did_you_mean

#: A label stands at the middle of its zone if it keeps this distance from the edge, else at the widest spot (mm).
LABEL_CLEARANCE_MM = 30.0


@cache
def bodies() -> tuple[tuple[str, tuple[Structure, ...]], ...]:
    """List the bodies with the structures each is built on, in the catalogue's order.

    >>> bodies()[0]
    ('pickup', (<Structure.FRAME: 'frame'>,))
    """
    return tuple((name, tuple(entry.sheets)) for name, entry in entries().items())


def body_names(language: str) -> dict[str, str]:
    """Name every body in the reader's language, English where there is none.

    >>> body_names("en")["convertible"]
    'Convertible'
    """
    return {name: entry.names.get(language, entry.names["en"]) for name, entry in entries().items()}


@cache
def body(body_id: str, structure: Structure | str) -> Body:
    """Give one body on one structure, with all its zones in the order of a walk round the car.

    Raises UnknownName for a body or structure that does not exist, SettingsError when the data is wrong.

    >>> body("pickup", "frame").by_id["rocker.left.outer"].name("en")
    'Left outer rocker'
    """
    return build(body_id, structure, read_yaml)


def zone(of: Body, zone_id: str) -> Zone:
    """Give one zone of a body; UnknownName suggests the nearest right id.

    >>> zone(body("pickup", "frame"), "cab_corner.left.outer").role.value
    'skin'
    """
    try:
        return of.by_id[zone_id]
    except KeyError:
        known = did_you_mean(zone_id, of.by_id)
        what = f'a {of.id} on {of.structure.value} has no zone "{zone_id}"'
        raise UnknownName(what, todo=known or "List them with: soundmetal zones") from None


def build(body_id: str, structure: Structure | str, read: Reader) -> Body:
    """Put one body together from data that `read` gives; `body` is the cached way to it."""
    entry, on = _find(body_id, structure, entries(read))
    sheets = [(name, sheet(name, read)) for name in entry.sheets[on]]
    maker = _ZoneMaker(on, shared(read), kinds(read))
    return Body(
        id=body_id,
        structure=on,
        names=entry.names,
        zones=tuple(_no_twins(maker.zones(sheets), body_id)),
        outlines=tuple(chain.from_iterable(_outlines(part) for _name, part in sheets)),
    )


def _find(body_id: str, structure: Structure | str, known: dict[str, BodyEntry]) -> tuple[BodyEntry, Structure]:
    """Find a body and one of its structures by name."""
    entry = known.get(body_id)
    if entry is None:
        todo = did_you_mean(body_id, known) or f"Choose one of: {', '.join(known)}."
        raise UnknownName(f'there is no body "{body_id}"', todo=todo)
    offered = [one.value for one in entry.sheets]
    if structure not in offered:
        raise UnknownName(f'no {body_id} is built on "{structure}"', todo=f"Choose {' or '.join(offered)}.")
    return entry, Structure(structure)


def _outlines(part: Sheet) -> Iterable[Outline]:
    """Give a sheet's thin lines; those off the centre line come on both sides, captions stand as written."""
    for line in part.outlines:
        yield line
        if line.kind != "caption" and all(y < 0 for _x, y in line.points):
            yield line.model_copy(update={"points": mirrored(line.points)})


def _no_twins(zones: Iterable[Zone], body_id: str) -> Iterable[Zone]:
    """Pass zones on; an id that comes twice is an error in the list of sheets."""
    seen: set[str] = set()
    for one in zones:
        if one.id in seen:
            raise settings_error(BODIES, body_id, f'the sheets hold zone "{one.id}" twice')
        seen.add(one.id)
        yield one


class _ZoneMaker:
    """Makes zones for one structure out of their kinds and places."""

    def __init__(self, on: Structure, common: Shared, known: dict[str, tuple[str, dict[str, Any]]]) -> None:
        self.on, self.common, self.known = on, common, known

    def zones(self, sheets: list[tuple[str, Sheet]]) -> Iterable[Zone]:
        """Go round the car: front, left side to the rear, tail, right side to the front, inside, underneath."""
        left = list(self._stage(sheets, "side"))
        yield from chain.from_iterable(self._stage(sheets, "front"))
        yield from (pair[0] for pair in left)
        yield from chain.from_iterable(self._stage(sheets, "rear"))
        yield from (pair[1] for pair in reversed(left))
        yield from chain.from_iterable(self._stage(sheets, "inside"))
        yield from chain.from_iterable(self._stage(sheets, "under"))

    def _stage(self, sheets: list[tuple[str, Sheet]], stage: str) -> Iterable[tuple[Zone, ...]]:
        """Give one stage's zones, each with its mirror image if it has one."""
        for name, part in sheets:
            for place in getattr(part, stage):
                first = self._zone(place, sheet_file(name))
                if has_side(place.id):
                    yield first, self._mirror(first)
                elif stage == "side":
                    raise settings_error(sheet_file(name), place.id, "a zone of a side needs the word left in its id")
                else:
                    yield (first,)

    def _kind(self, place: Placed, file: str) -> Kind:
        """Give a zone's kind on this structure, with what its place changes."""
        if place.id not in self.known:
            what = f'there is no zone kind "{place.id}". {did_you_mean(place.id, self.known)}'
            raise settings_error(file, place.id, what)
        source, entry = self.known[place.id]
        raw = {name: value for name, value in entry.items() if name != "on"}
        raw |= self._differences(entry, source, place.id)
        return checked(Kind, raw | place.change, file if place.change else source, place.id)

    def _differences(self, entry: dict[str, Any], source: str, zone_id: str) -> dict[str, Any]:
        """Give what is different about a kind on this structure."""
        on = mapping(entry.get("on", {}), source, f"{zone_id}.on")
        for name in on:
            if name not in [one.value for one in Structure]:
                raise settings_error(source, f"{zone_id}.on.{name}", "no such structure")
        return mapping(on.get(self.on.value, {}), source, f"{zone_id}.on.{self.on.value}")

    def _zone(self, place: Placed, file: str) -> Zone:
        """Make one zone."""
        kind = self._kind(place, file)
        group = self._shared(self.common.access, kind.access, place.id, "access")
        fields = kind.model_dump(exclude={"steel", "checks"})
        fields |= {
            "id": place.id,
            "thickness": self._shared(self.common.steels, kind.steel, place.id, "steel"),
            "checks": self._shared(self.common.checks, kind.checks, place.id, "checks"),
            "access_hours": group.hours,
            "access_work": group.work,
            "plan": _plan(place, file),
        }
        return checked(Zone, fields, file, place.id)

    def _shared(self, table: dict[str, Any], name: str, zone_id: str, what: str) -> Any:
        """Look up what several zones share."""
        if name not in table:
            hint = did_you_mean(name, table)
            raise settings_error(SHARED, f"{zone_id}.{what}", f'there is no {what} "{name}". {hint}')
        return table[name]

    def _mirror(self, left: Zone) -> Zone:
        """Make the right-hand zone of a left-hand one."""
        plan = left.plan
        label = mirrored((plan.label,))[0] if plan.label else None
        return left.model_copy(
            update={
                "id": other_side(left.id),
                "names": self._reword(left.names),
                "plain": self._reword(left.plain),
                "access": other_side(left.access),
                "access_work": self._reword(left.access_work),
                "plan": plan.model_copy(update={"polygon": mirrored(plan.polygon), "label": label}),
            }
        )

    def _reword(self, texts: dict[str, str]) -> dict[str, str]:
        """Say right instead of left, in every language."""
        return {language: reworded(text, self.common.mirror.get(language, {})) for language, text in texts.items()}


def _plan(place: Placed, file: str) -> ZonePlan:
    """Give a zone's shape with a spot for its label."""
    shape = Polygon(place.points)
    if not shape.is_valid or shape.area <= 0:
        raise settings_error(file, place.id, "the polygon crosses itself or has no area")
    fields = {"strip": place.strip, "polygon": place.points, "label": place.label or label_spot(shape)}
    return checked(ZonePlan, fields, file, place.id)


def label_spot(shape: Polygon) -> Point:
    """Give a spot inside a shape where a label stands well: its middle, or its widest place if that is near an edge.

    >>> label_spot(Polygon([(0, 0), (300, 0), (300, 100), (0, 100)]))
    (150.0, 50.0)
    """
    middle = shape.centroid
    if not shape.contains(middle) or shape.exterior.distance(Spot(middle)) < LABEL_CLEARANCE_MM:
        middle = polylabel(shape, tolerance=1.0)
    return round(middle.x, 1), round(middle.y, 1)
