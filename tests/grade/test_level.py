from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.errors import SettingsError
from soundmetal.grade import level as level_module
from soundmetal.grade.books import rule_book
from soundmetal.grade.finding import case_of, grade_finding
from soundmetal.grade.level import verdict
from soundmetal.grade.models import SEVERITY, Level
from soundmetal.grade.rules import read_rules, rules, worst_first
from soundmetal.record.terms import Basis

RAIL = {"role": "load-bearing", "frame_part": True, "thickness": {"mm": 4.0, "source": "x", "confidence": "x"}}
BELT_NEAR = {"kind": "belt", "distance": "250 mm"}
BELT_FAR = {"kind": "belt", "distance": "350 mm"}


def graded(finding, zone, book="shop", basis=Basis.LIFT, filled=False):
    return grade_finding(finding, zone, rule_book(book), basis, filled)


# The rules of section 3 of the project's rules, one row a rule and case: what is written -> level and deciding rule.
CASES = [
    ({"seen": "holed", "mounting": BELT_NEAR}, {"role": "load-bearing"}, "unsafe", "G1"),
    ({"seen": "holed", "mounting": BELT_NEAR}, {"role": "floor"}, "unsafe", "G1"),
    ({"seen": "holed", "mounting": BELT_FAR}, {"role": "load-bearing"}, "spent", "G3"),
    ({"seen": "holed", "mounting": BELT_NEAR}, {"role": "skin"}, "spent", "G3"),
    ({"seen": "scale", "mounting": BELT_NEAR}, {"role": "load-bearing"}, "thinned", "G6"),
    ({"seen": "holed"}, {"role": "load-bearing", "mountings": ("brake",)}, "unsafe", "G1"),
    ({"seen": "holed"}, RAIL, "unsafe", "G2"),
    ({"seen": "gone"}, RAIL, "unsafe", "G2"),
    ({"seen": "scale", "cracked": True}, RAIL, "unsafe", "G2"),
    ({"seen": "scale", "probe": "gives"}, RAIL, "unsafe", "G2"),
    ({"seen": "scale", "probe": "firm"}, RAIL, "thinned", "G6"),
    ({"seen": "holed"}, {"role": "skin"}, "spent", "G3"),
    ({"seen": "gone"}, {"role": "floor"}, "spent", "G3"),
    ({"seen": "surface", "probe": "gives"}, {"role": "skin"}, "spent", "G3"),
    ({"seen": "surface", "cracked": True}, {"role": "floor"}, "spent", "G3"),
    ({"seen": "surface", "cracked": True}, {"role": "skin"}, "thinned", "G6"),
    ({"seen": "pitted"}, {"role": "load-bearing"}, "spent", "G4"),
    ({"seen": "pitted"}, {"role": "floor"}, "thinned", "G6"),
    ({"seen": "scale"}, {"role": "inner"}, "thinned", "G6"),
    ({"seen": "surface"}, {"role": "load-bearing"}, "surface", "G7"),
]


@pytest.mark.parametrize(("finding", "zone", "level", "rule"), CASES)
def test_the_most_severe_rule_that_holds_decides(finding, zone, level, rule, make_finding, make_zone, told):
    found = graded(make_finding(**finding), make_zone(**zone))
    assert (found.level.value, found.rule) == (level, rule)
    assert found.why[0].source == rule
    assert all(told(found.why))


# Earlier repairs: kind, state, over a hole, role -> level and deciding rule.
REPAIRS = [
    ("butt weld", "sound", False, "load-bearing", "sound", "G9"),
    ("full panel", "sound", False, "skin", "sound", "G9"),
    ("unknown", "sound", False, "floor", "sound", "G9"),
    ("lapped patch", "sound", False, "floor", "sound", "G9"),
    ("butt weld", "unsure", False, "floor", "not seen", "G8"),
    ("filler", "sound", False, "skin", "not seen", "G8"),
    ("butt weld", "hides rust", False, "floor", "spent", "G5"),
    ("filler", "sound", True, "skin", "spent", "G5"),
    ("foam", "sound", False, "skin", "spent", "G5"),
    ("tape", "unsure", False, "inner", "spent", "G5"),
    ("fibreglass", "sound", False, "load-bearing", "spent", "G5"),
    ("brazed", "sound", False, "load-bearing", "spent", "G5"),
    ("brazed", "sound", False, "skin", "sound", "G9"),
    ("riveted patch", "sound", False, "load-bearing", "spent", "G5"),
]


@pytest.mark.parametrize(("kind", "state", "over_hole", "role", "level", "rule"), REPAIRS)
def test_earlier_repairs(kind, state, over_hole, role, level, rule, make_finding, make_zone):
    repair = {"kind": kind, "state": state, "over_hole": over_hole}
    found = graded(make_finding(seen="sound", repair=repair), make_zone(role=role))
    assert (found.level.value, found.rule) == (level, rule)


def test_an_overlap_over_rust_is_spent_even_if_called_sound(make_finding, make_zone):
    found = graded(make_finding(seen="scale", repair={"kind": "lapped patch", "state": "sound"}), make_zone())
    assert (found.level, found.rule) == (Level.SPENT, "G5")


def test_a_bad_repair_near_a_mounting_is_unsafe(make_finding, make_zone):
    repair = {"kind": "lapped patch", "state": "hides rust"}
    found = graded(make_finding(seen="sound", repair=repair, mounting=BELT_NEAR), make_zone(role="load-bearing"))
    assert (found.level, found.rule, found.also) == (Level.UNSAFE, "G1", ("G5",))


def test_a_photograph_never_shows_that_steel_is_sound(make_finding, make_zone):
    finding = make_finding(seen="sound", repair={"kind": "butt weld", "state": "sound"})
    found = graded(finding, make_zone(), basis=Basis.PHOTOS)
    assert (found.level, found.rule, found.also) == (Level.NOT_SEEN, "G8", ("G9",))


def test_a_sound_repair_under_thick_coating_was_not_seen(make_finding, make_zone):
    finding = make_finding(seen="sound", repair={"kind": "butt weld", "state": "sound"})
    assert graded(finding, make_zone(), filled=True).level is Level.NOT_SEEN


def test_bare_metal_shows_a_filled_repair_as_it_is(make_finding, make_zone):
    finding = make_finding(seen="sound", repair={"kind": "filler", "state": "sound"})
    assert graded(finding, make_zone(role="skin"), basis=Basis.BLASTED).level is Level.SOUND


@pytest.mark.parametrize(
    ("role", "thickness", "level", "suspect"),
    [
        ("load-bearing", "0.80 mm", "spent", False),
        ("load-bearing", "0.81 mm", "thinned", True),
        ("load-bearing", "0.85 mm", "thinned", True),
        ("load-bearing", "0.86 mm", "thinned", False),
        ("load-bearing", "0.90 mm", "thinned", False),
        ("load-bearing", "0.91 mm", "surface", False),
        ("floor", "0.70 mm", "spent", False),
        ("floor", "0.71 mm", "thinned", True),
        ("skin", "0.775 mm", "thinned", True),
        ("skin", "0.78 mm", "thinned", False),
    ],
)
def test_limits_hold_at_the_very_figure(role, thickness, level, suspect, make_finding, make_zone, reading):
    finding = make_finding(seen="surface", readings=[reading(thickness)], reference=reading("1.0 mm"))
    found = graded(finding, make_zone(role=role))
    assert (found.level.value, found.suspect) == (level, suspect)


def test_what_the_eye_judges_past_the_limit_is_told_to_be_measured(make_finding, make_zone, told):
    pitted = graded(make_finding(seen="pitted"), make_zone(role="floor"))
    assert (pitted.level, pitted.suspect) == (Level.THINNED, True)
    assert "It may already be past its limit of 0.3; only a reading can tell." in told(pitted.why)
    scaly = graded(make_finding(seen="scale"), make_zone(role="floor"))
    assert not scaly.suspect
    assert not any("only a reading can tell" in text for text in told(scaly.why))


def test_the_other_rules_are_kept(make_finding, make_zone):
    found = graded(make_finding(seen="holed", mounting=BELT_NEAR), make_zone(**RAIL))
    assert (found.rule, found.also) == ("G1", ("G2", "G3", "G4", "G6"))
    assert [step.source for step in found.why[:5]] == ["G1", "G2", "G3", "G4", "G6"]


def test_an_unmeasured_distance_is_told(make_finding, make_zone):
    found = graded(make_finding(seen="holed"), make_zone(role="floor", mountings=("seat",)))
    assert found.level is Level.SPENT
    assert [step.values for step in found.why if step.source == "M7"] == [
        {"mounting_word": "seat", "within_mm": 300.0}
    ]


def test_rules_that_fit_nothing_are_a_fault_of_the_settings(make_finding, make_zone, monkeypatch):
    case = case_of(make_finding(), make_zone(), rule_book("shop"))
    monkeypatch.setattr(level_module, "worst_first", lambda: worst_first()[:1])
    with pytest.raises(SettingsError, match="no rule fits finding F1"):
        verdict(case)


def test_a_sentence_that_names_what_is_not_known_is_a_fault_of_the_settings(make_finding, make_zone, monkeypatch):
    plain = rules().model_dump(mode="json")
    plain["levels"][2]["cases"][0]["says"] = "It is {distance_mm} away."
    wrong = read_rules(plain)
    monkeypatch.setattr(level_module, "worst_first", lambda: wrong.levels)
    with pytest.raises(SettingsError, match="rule G3 names 'distance_mm'"):
        verdict(case_of(make_finding(seen="holed"), make_zone(), rule_book("shop")))


ROLES = ["skin", "floor", "load-bearing"]
SEEN = ["surface", "scale", "pitted", "holed", "gone"]


@given(
    loss=st.integers(0, 100),
    more=st.integers(0, 100),
    seen=st.sampled_from(SEEN),
    role=st.sampled_from(ROLES),
    book=st.sampled_from(["shop", "uk", "nz", "us"]),
)
def test_level_score_and_loss_never_fall_with_thinner_steel(
    loss, more, seen, role, book, make_finding, make_zone, reading
):
    def at(lost):
        mm = f"{(100 - lost) / 100} mm"
        finding = make_finding(seen=seen, readings=[reading(mm)], reference=reading("1.0 mm"))
        return graded(finding, make_zone(role=role), book)

    less, most = at(min(loss, more)), at(max(loss, more))
    assert SEVERITY[most.level] >= SEVERITY[less.level]
    assert most.score >= less.score
    assert most.loss >= less.loss


@given(seen=st.sampled_from(SEEN), lost=st.none() | st.integers(0, 100), near=st.booleans(), frame=st.booleans())
def test_level_never_falls_as_the_role_rises(seen, lost, near, frame, make_finding, make_zone, reading):
    readings = [] if lost is None else [reading(f"{(100 - lost) / 100} mm")]
    changes = {"mounting": BELT_NEAR} if near else {}
    finding = make_finding(seen=seen, readings=readings, reference=reading("1.0 mm"), **changes)
    found = [graded(finding, make_zone(role=role, frame_part=frame)) for role in ROLES]
    assert sorted(found, key=lambda one: SEVERITY[one.level]) == found
    assert sorted(found, key=lambda one: one.score) == found


@given(worse=st.sampled_from(SEEN), better=st.sampled_from(SEEN), role=st.sampled_from(ROLES))
def test_level_never_falls_as_what_was_seen_gets_worse(worse, better, role, make_finding, make_zone):
    order = sorted([better, worse], key=SEEN.index)
    one, other = (graded(make_finding(seen=seen), make_zone(role=role)) for seen in order)
    assert SEVERITY[one.level] <= SEVERITY[other.level]
    assert one.score <= other.score


@given(
    seen=st.sampled_from(["sound", *SEEN]),
    role=st.sampled_from(["skin", "inner", "floor", "load-bearing"]),
    frame=st.booleans(),
    basis=st.sampled_from(list(Basis)),
    kind=st.sampled_from(["butt weld", "lapped patch", "filler", "fibreglass", "foam", "tape", "brazed", "unknown"]),
    state=st.sampled_from(["sound", "hides rust", "unsure"]),
    over_hole=st.booleans(),
    probe=st.sampled_from([None, "firm", "gives"]),
    cracked=st.booleans(),
    filled=st.booleans(),
    mountings=st.sampled_from([(), ("belt",), ("body",), ("suspension", "brake")]),
    book=st.sampled_from(["shop", "uk", "nz", "us"]),
)
def test_everything_that_can_be_written_gets_a_level_and_whole_sentences(
    seen,
    role,
    frame,
    basis,
    kind,
    state,
    over_hole,
    probe,
    cracked,
    filled,
    mountings,
    book,
    make_finding,
    make_zone,
    told,
):
    repair = {"kind": kind, "state": state, "over_hole": over_hole}
    finding = make_finding(seen=seen, repair=repair, probe=probe, cracked=cracked)
    found = graded(finding, make_zone(role=role, frame_part=frame, mountings=mountings), book, basis, filled)
    assert all(told(found.why))
    assert 0 <= found.score <= 100
    if found.level is Level.SOUND:
        assert (seen, state, filled, basis is Basis.PHOTOS) == ("sound", "sound", False, False)
        assert found.score == 0
