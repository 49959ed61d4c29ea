"""What the last part of the customer's report is told: how it is done, what waiting means, rules, signature."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup


@dataclass(frozen=True)
class RuleLine:
    """One rule that was used: its id, what it says, where it is from."""

    id: str
    words: Markup
    source: Markup


@dataclass(frozen=True)
class TradeWord:
    """One word of the trade and what it means."""

    word: str
    means: Markup


@dataclass(frozen=True)
class Practice:
    """Page 5: how it is done, what waiting means, cautions, words, terms, trust, rules used, signature.

    `signed_field` and `date_field` are the form's fields of the signature. `carried` says that the file holds the
    inspection as data, empty where it does not. `again` in an amendment, which does not
    tell a second time how it is done, what waiting means, the words, the trust.
    """

    again: bool
    how: tuple[Markup, ...]
    joint: Markup
    waiting: Markup
    waiting_words: tuple[Markup, ...]
    cautions: tuple[Markup, ...]
    glossary: tuple[TradeWord, ...]
    terms: tuple[str, ...]
    trust: tuple[Markup, ...]
    book: Markup
    rules: tuple[RuleLine, ...]
    certify: Markup
    shop: tuple[str, ...]
    inspected: Markup
    signed_field: str
    date_field: str
    carried: Markup
