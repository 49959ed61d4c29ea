"""Page 3: what was found sound, what earlier work stays, what nobody saw. With the findings, every zone."""

from __future__ import annotations

from dataclasses import replace
from typing import TypeVar

from markupsafe import Markup

from soundmetal.grade.models import Level, ZoneState
from soundmetal.report.contexts import PartLine, Rest, ZoneGroup, ZoneLine
from soundmetal.report.language import lower_first
from soundmetal.report.telling import Telling, ended

#: From so many zones on the same sentence is told once over a list of them.
MANY = 4
Line = TypeVar("Line", ZoneLine, PartLine)


def rest(telling: Telling) -> Rest:
    """Make page 3."""
    lang, words = telling.lang, telling.words
    zones = telling.job.grades.zones
    told = {graded.zone_id for graded in telling.told}
    stays = {graded.zone_id for graded in telling.job.grades.findings} - told
    others = [zone for zone in zones if zone.zone_id not in told | stays]
    unseen: dict[Markup, list[ZoneState]] = {}
    for zone in others:
        if zone.level is Level.NOT_SEEN:
            unseen.setdefault(_unseen(telling, zone), []).append(zone)
    page = Rest(
        looked=lang.text(words.basis[telling.job.inspection.basis]),
        sound=_parts(telling, [zone for zone in others if zone.level is Level.SOUND]),
        sound_note=_sound_note(telling, others),
        stays=_stays(telling),
        noted=tuple(_why(telling, z) for z in others if z.level not in (Level.SOUND, Level.NOT_SEEN)),
        unseen=tuple(
            _line(telling, zone.zone_id, why) for why, alike in unseen.items() if len(alike) < MANY for zone in alike
        ),
        unseen_groups=tuple(
            ZoneGroup(why, _parts(telling, alike)) for why, alike in unseen.items() if len(alike) >= MANY
        ),
        unseen_note=lang.text(words.unseen_not_sound),
    )
    return _first_use(page, {telling.plain(zone_id) for zone_id in told})


def _first_use(page: Rest, known: set[str]) -> Rest:
    """Say what a part is where it is first named, in the order of the page; the findings before it count."""

    def once(lines: tuple[Line, ...]) -> tuple[Line, ...]:
        kept = tuple(replace(line, plain="" if line.plain in known else line.plain) for line in lines)
        known.update(line.plain for line in lines)
        return kept

    return replace(
        page,
        unseen=once(page.unseen),
        unseen_groups=tuple(ZoneGroup(group.words, once(group.parts)) for group in page.unseen_groups),
        noted=once(page.noted),
        stays=once(page.stays),
        sound=once(page.sound),
    )


def _parts(telling: Telling, zones: list[ZoneState]) -> tuple[PartLine, ...]:
    """Parts that are the same to somebody outside the trade, such as left and right, stand in one line."""
    lines: dict[tuple[str, Markup], list[str]] = {}
    for zone in zones:
        plain, missing = telling.plain(zone.zone_id), _missing(telling, zone)
        lines.setdefault((plain, missing), []).append(telling.zone_name(zone.zone_id))
    return tuple(PartLine(_listed(names), plain, missing) for (plain, missing), names in lines.items())


def _listed(names: list[str]) -> tuple[str, ...]:
    """Capital first for the first name only, as the names are read one after another."""
    return (names[0], *map(lower_first, names[1:]))


def _missing(telling: Telling, zone: ZoneState) -> Markup:
    lang = telling.lang
    missing = ", ".join(lang.word(check, "check") for check in zone.missing)
    return lang.text("not done: {checks}", checks=missing) if missing and zone.level is Level.SOUND else Markup()


def _line(telling: Telling, zone_id: str, words: Markup) -> ZoneLine:
    return ZoneLine(telling.zone_name(zone_id), words, telling.plain(zone_id))


def _sound_note(telling: Telling, zones: list[ZoneState]) -> Markup:
    if any(zone.missing for zone in zones if zone.level is Level.SOUND):
        return telling.lang.text("Where a check was not done, it stands beside the part.")
    return Markup()


def _stays(telling: Telling) -> tuple[ZoneLine, ...]:
    lang, lines = telling.lang, []
    for graded in telling.job.grades.findings:
        repair = graded.finding.repair
        if graded.level is Level.SOUND and repair is not None:
            words = lang.text(telling.words.repair[repair.state], repair_word=repair.kind.value)
            note = f" {ended(graded.finding.note)}" if graded.finding.note else ""
            lines.append(_line(telling, graded.zone_id, words + note))
    return tuple(lines)


def _why(telling: Telling, zone: ZoneState) -> ZoneLine:
    return _line(telling, zone.zone_id, telling.lang.sentence(zone.why))


def _unseen(telling: Telling, zone: ZoneState) -> Markup:
    note = next((n.note for n in telling.job.inspection.not_seen if n.zone == zone.zone_id and n.note), "")
    return telling.lang.sentence(zone.why) + (f" {ended(note)}" if note else "")
