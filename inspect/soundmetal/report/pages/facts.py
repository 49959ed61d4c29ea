"""The facts of one finding in sentences: what was seen, what was measured, what is joined."""

from __future__ import annotations

from markupsafe import Markup

from soundmetal.grade.models import Graded
from soundmetal.record.models import Finding
from soundmetal.record.terms import Probe, Reply
from soundmetal.report.telling import Telling
from soundmetal.scope.models import PanelWork

#: A mounting nearer than this is told as sitting on the rust (chosen, no source).
AT_IT_MM = 5.0


def seen(telling: Telling, graded: Graded) -> tuple[Markup, ...]:
    """Say what was seen, how large it is, how it answers the probe, what the gauge gave, what is near."""
    lang, words, finding = telling.lang, telling.words, graded.finding
    said = [lang.text(words.seen[finding.seen]), *_extent(telling, graded)]
    if finding.cracked:
        said.append(lang.text(words.cracked))
    if finding.probe is Probe.GIVES or (finding.probe is Probe.FIRM and finding.seen.value not in ("holed", "gone")):
        said.append(lang.text(words.probe[finding.probe]))
    said += _measured(telling, graded)
    said += _repair(telling, finding)
    if finding.mounting:
        near = finding.mounting
        text = words.mounting if near.distance >= AT_IT_MM else words.mounting_at_it
        said.append(lang.text(text, mounting_word=near.kind.value, distance_mm=near.distance))
    return tuple(said)


def _extent(telling: Telling, graded: Graded) -> list[Markup]:
    lang, words, finding = telling.lang, telling.words.extent, graded.finding
    said = []
    if finding.box_size:
        long_mm, wide_mm = max(finding.box_size), min(finding.box_size)
        said.append(lang.text(words.size, long_mm=long_mm, wide_mm=wide_mm))
    elif finding.area:
        said.append(lang.text(words.area, rusted_mm2=finding.area))
    if finding.reaches_edge:
        said.append(lang.text(words.edge))
    return said


def _measured(telling: Telling, graded: Graded) -> list[Markup]:
    lang, words, metal = telling.lang, telling.words.readings, graded.metal_left
    if metal.least_mm is None:
        return [lang.text(ignored) for ignored in metal.ignored]
    if metal.original_mm is None:
        return [lang.text(words.without_original, least_thick_mm=metal.least_mm)]
    said = [lang.text(words.with_original, least_thick_mm=metal.least_mm, original_thick_mm=metal.original_mm)]
    if metal.by == "measured" and not metal.provable:
        said.append(lang.text(words.unproven))
    return [*said, *(lang.text(ignored) for ignored in metal.ignored)]


def _repair(telling: Telling, finding: Finding) -> list[Markup]:
    if finding.repair is None:
        return []
    lang, words = telling.lang, telling.words
    said = [lang.text(words.repair[finding.repair.state], repair_word=finding.repair.kind.value)]
    return [*said, lang.text(words.over_hole)] if finding.repair.over_hole else said


def band(telling: Telling, graded: Graded) -> Markup:
    """Say the uncertainty under the plate section, where there is any worth saying."""
    share = graded.metal_left.share
    if graded.metal_left.by == "unknown" or share.high - share.low < 0.015:
        return Markup()
    return telling.lang.text("it may be {range}", range=telling.lang.share_range(share))


def margin(telling: Telling, graded: Graded) -> tuple[Markup, ...]:
    """The small lines beside a finding: how much of the part is rusted, the rules that decided."""
    lang = telling.lang
    said = []
    if graded.area is not None:
        text = "{share_pct} of this part is rusted (Ri {ri}, D610 grade {grade})"
        said.append(lang.text(text, share_pct=graded.area.percent, ri=graded.area.ri, grade=graded.area.d610))
    rules = ", ".join((graded.rule, *graded.also))
    said.append(lang.text("graded by {rules}", rules=rules))
    return tuple(said)


def joins(telling: Telling, work: PanelWork) -> list[Markup]:
    """Say how much weld the taken method needs, and the steel it takes."""
    lang, words, need = telling.lang, telling.words, work.choice.taken.geometry
    said = []
    if need.seam_mm >= 1 and need.plug_welds:
        pair = words.seam_and_plugs
        said.append(lang.plural(pair.one, pair.many, need.plug_welds, seam_mm=need.seam_mm))
    elif need.seam_mm >= 1:
        said.append(lang.text(words.seam, seam_mm=need.seam_mm))
    elif need.plug_welds:
        said.append(lang.plural(words.plugs.one, words.plugs.many, need.plug_welds))
    if work.blanks:
        said.append(lang.text(words.gauge, steel_thick_mm=work.blanks[0].thickness_mm))
    return said


def of_whole(telling: Telling) -> tuple[Markup, ...]:
    """Say what the figures of the whole work hold that those of the places do not, and what the owner refused."""
    lang, tax, given = telling.lang, telling.job.shop.tax, telling.job.inspection.answers
    taxed = (lang.text(telling.words.taxed, rate=lang.look.percent(tax)),) if tax else ()
    refused = any(answer.reply is Reply.NO for answer in given.values())
    return (*taxed, lang.text(telling.words.refused_too)) if refused else taxed
