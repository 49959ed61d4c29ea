"""Page 3: what was found sound, what earlier work stays, what nobody saw. With the findings, every zone."""

from __future__ import annotations

from markupsafe import Markup

from soundmetal.grade.models import Level, ZoneState
from soundmetal.report.contexts import Rest, ZoneGroup, ZoneLine
from soundmetal.report.telling import Telling

#: From so many zones on the same sentence is told once over a list of them.
MANY = 4


def rest(telling: Telling) -> Rest:
    """Make page 3."""
    lang, words = telling.lang, telling.words
    zones = telling.job.grades.zones
    told = {graded.zone_id for graded in telling.told}
    stays = {graded.zone_id for graded in telling.job.grades.findings} - told
    others = [zone for zone in zones if zone.zone_id not in told | stays]
    unseen: dict[Markup, list[ZoneLine]] = {}
    for line in (_unseen(telling, zone) for zone in others if zone.level is Level.NOT_SEEN):
        unseen.setdefault(line.words, []).append(line)
    return Rest(
        looked=lang.text(words.basis[telling.job.inspection.basis]),
        sound=tuple(_sound(telling, zone) for zone in others if zone.level is Level.SOUND),
        sound_note=_sound_note(telling, others),
        stays=_stays(telling),
        noted=tuple(_why(telling, z) for z in others if z.level not in (Level.SOUND, Level.NOT_SEEN)),
        unseen=tuple(line for lines in unseen.values() if len(lines) < MANY for line in lines),
        unseen_groups=tuple(
            ZoneGroup(words, tuple(line.name for line in lines))
            for words, lines in unseen.items()
            if len(lines) >= MANY
        ),
        unseen_note=lang.text(words.unseen_not_sound),
    )


def _sound(telling: Telling, zone: ZoneState) -> ZoneLine:
    lang = telling.lang
    missing = ", ".join(lang.word(check, "check") for check in zone.missing)
    words = lang.text("not done: {checks}", checks=missing) if missing else Markup()
    return ZoneLine(telling.zone_name(zone.zone_id), words)


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
            note = f" {graded.finding.note}" if graded.finding.note else ""
            lines.append(ZoneLine(telling.zone_name(graded.zone_id), words + note))
    return tuple(lines)


def _why(telling: Telling, zone: ZoneState) -> ZoneLine:
    return ZoneLine(telling.zone_name(zone.zone_id), telling.lang.sentence(zone.why))


def _unseen(telling: Telling, zone: ZoneState) -> ZoneLine:
    note = next((n.note for n in telling.job.inspection.not_seen if n.zone == zone.zone_id and n.note), "")
    return ZoneLine(telling.zone_name(zone.zone_id), telling.lang.sentence(zone.why) + (f" {note}" if note else ""))
