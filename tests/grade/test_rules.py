from __future__ import annotations

import pytest

from soundmetal.errors import SettingsError
from soundmetal.grade.models import SEVERITY, Level
from soundmetal.grade.rules import read_rules, rules, worst_first


def plain():
    return rules().model_dump(mode="json")


def test_the_levels_are_all_there_once_and_in_their_order():
    assert [rule.id for rule in rules().levels] == [f"G{n}" for n in range(1, 10)]
    assert {rule.level for rule in rules().levels} == set(Level)


def test_every_rule_carries_a_reason_and_a_source():
    for rule in rules().by_id.values():
        assert rule.reason.endswith(".")
        assert len(rule.source) > 10


def test_worst_first_is_by_severity():
    ranks = [SEVERITY[rule.level] for rule in worst_first()]
    assert ranks == sorted(ranks, reverse=True)


def test_what_is_given_is_taken():
    assert read_rules(plain()) == rules()


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda d: d["metal_left"]["seen"].pop("pitted"), "seen: missing pitted"),
        (lambda d: d["metal_left"]["seen"]["scale"].update(share=[0.9, 0.8, 0.7]), "metal_left.seen.scale"),
        (lambda d: d["limits"]["loss"].pop("skin"), "limits: missing skin"),
        (lambda d: d["limits"]["loss"].update(skin=0), "limits.loss.skin"),
        (lambda d: d["levels"][0]["cases"][0].update(rules=["G77"]), "levels: missing G77"),
        (lambda d: d["levels"][0].update(level="bad"), "levels.0.level"),
        (lambda d: d["levels"][0].update(sauce="none"), "levels.0.sauce"),
        (lambda d: d["zones"]["says"].pop("inside"), "no sentence for: inside"),
        (lambda d: d["urgency"]["follows"].pop("suspect"), "urgency: missing suspect"),
        (lambda d: d["urgency"]["follows"]["spent"].update(skin="U99"), "urgency texts: missing U99"),
        (lambda d: d["urgency"]["follows"]["spent"].pop("skin"), "urgency, spent: missing skin"),
        (lambda d: d["score"]["share"].update(full_share=0), "score.share.full_share"),
    ],
)
def test_wrong_rules_name_the_key(change, words):
    data = plain()
    change(data)
    with pytest.raises(SettingsError) as caught:
        read_rules(data)
    assert words in str(caught.value)
    assert str(caught.value).startswith("rules.yaml")
    assert "\n" not in str(caught.value)
