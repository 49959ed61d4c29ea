"""Page 5: how the work is done, what waiting means, cautions, words, terms, the rules used, the signature."""

from __future__ import annotations

from markupsafe import Markup

from soundmetal.grade.waiting import waiting as losses
from soundmetal.report.contexts import Practice, TradeWord
from soundmetal.report.drawings.joint import joint
from soundmetal.report.drawings.waiting import Loss, waiting
from soundmetal.report.form import DATE, SIGNED
from soundmetal.report.pages.rules_used import rules_used
from soundmetal.report.telling import Telling
from soundmetal.scope.notices import notices

#: The sheet that the waiting curve is held against: 20 gauge body sheet, as most outer panels are (gauge table).
SHEET_MM = 0.91
CARRIED = (
    "This PDF also carries the inspection as data. Keep it, and the inspection can be worked on again from this "
    "file alone."
)


def practice(telling: Telling, *, carries: bool = False) -> Practice:
    """Make page 5; it says so where its file `carries` the inspection as data."""
    job, lang, words = telling.job, telling.lang, telling.words
    place = job.inspection.corrosivity
    return Practice(
        again=job.amended is not None,
        how=tuple(lang.text(sentence) for sentence in words.how),
        joint=joint(lang),
        waiting=waiting(_losses(telling), SHEET_MM, lang),
        waiting_words=(
            lang.text(words.waiting, air=lang.translated(words.air[place]), category=place.value),
            lang.text(words.waiting_caution),
        ),
        cautions=_cautions(telling),
        glossary=tuple(TradeWord(lang.word(term, "glossary"), lang.text(said)) for term, said in words.words.items()),
        terms=(*(line for line in _terms(telling).splitlines() if line.strip()), *deposit(telling)),
        trust=tuple(lang.text(sentence) for sentence in words.trust),
        book=lang.text("Rule book: {name}.", name=lang.own(job.book.names)),
        rules=rules_used(telling),
        certify=lang.text(words.certify),
        shop=shop_lines(telling),
        inspected=_inspected(telling),
        signed_field=telling.form.field(SIGNED),
        date_field=telling.form.field(DATE),
        carried=lang.text(CARRIED) if carries else Markup(),
    )


def shop_lines(telling: Telling) -> tuple[str, ...]:
    """Say how to reach the shop."""
    contact = telling.job.shop.shop
    return tuple(line for line in (contact.street, contact.town, contact.phone, contact.email) if line)


def _losses(telling: Telling) -> tuple[Loss, ...]:
    points = losses(telling.job.inspection.corrosivity)
    return tuple(Loss(point.years, point.low_um / 1000, point.high_um / 1000) for point in points)


def _cautions(telling: Telling) -> tuple[Markup, ...]:
    lang, job = telling.lang, telling.job
    for_owner = {caution.text for caution in notices().cautions if caution.id in telling.words.owner_cautions}
    for_owner |= {note.text for note in job.book.cautions}
    said = [lang.sentence(step) for step in job.scope.cautions if step.text in for_owner]
    said += [lang.text(note.text) for note in job.book.cautions]
    return tuple(dict.fromkeys(said))


def _terms(telling: Telling) -> str:
    terms = telling.job.shop.terms
    return terms.get(telling.lang.code, terms.get("en", ""))


def deposit(telling: Telling) -> tuple[str, ...]:
    """Say what is asked before work begins; nothing where the shop asks for nothing or nothing is priced."""
    asked = telling.job.scope.total.deposit
    if not asked:
        return ()
    text = "Before work begins we ask for a deposit of {deposit_money}, {deposit_pct} of the likely price."
    said = telling.lang.text(text, deposit_money=asked, deposit_pct=telling.job.shop.deposit)
    return (said.unescape(),)


def _inspected(telling: Telling) -> Markup:
    inspection, lang = telling.job.inspection, telling.lang
    if inspection.inspector:
        return lang.text(
            "Looked at by {inspector} on {day_date}.", inspector=inspection.inspector, day_date=inspection.date
        )
    return lang.text("Looked at on {day_date}.", day_date=inspection.date)
