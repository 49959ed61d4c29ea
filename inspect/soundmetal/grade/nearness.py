"""Whether spent steel lies within the rule book's distance of a mounting that the rule is about (M7).

- A distance written for the nearest mounting of a kind that counts is held against the book's distance.
- The nearest mounting of any kind being farther than that keeps all mountings off.
- Without a distance, at the car or in the book, a load-bearing part that carries such a mounting counts as near.
"""

from __future__ import annotations

from soundmetal.car.models import Zone
from soundmetal.grade.rules import rules
from soundmetal.grade.when import Nearness
from soundmetal.record.models import Finding
from soundmetal.record.terms import Mounting


def _in_zone(finding: Finding, zone: Zone) -> Mounting | None:
    """The mounting that counts: the one written down, else the first of the catalogue's, in the rule's order."""
    kinds = rules().nearness.mountings
    if finding.mounting and finding.mounting.kind in kinds:
        return finding.mounting.kind
    return next((kind for kind in kinds if kind in zone.mountings), None)


def counts(zone: Zone) -> bool:
    """Tell whether the distance rule is about this zone: by its role, or because it carries such a mounting."""
    rule = rules().nearness
    carries = any(kind in rule.mountings for kind in zone.mountings)
    return zone.role in rule.roles or (carries and zone.role in rule.carrying_roles)


def nearness(finding: Finding, zone: Zone, distance_mm: float | None) -> Nearness:
    """Tell whether a mounting's distance (mm, None if the book names none) is kept, and by which mounting."""
    rule = rules().nearness
    mounting = _in_zone(finding, zone)
    has_distance = distance_mm is not None
    if mounting is None or not counts(zone):
        return Nearness(False, False, has_distance, mounting)
    written = finding.mounting
    if written and distance_mm is not None and (written.kind in rule.mountings or written.distance > distance_mm):
        return Nearness(written.distance <= distance_mm, True, True, mounting, written.distance)
    return Nearness(zone.role in rule.assumed_roles, False, has_distance, mounting)
