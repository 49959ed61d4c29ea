"""What people say of photographs, written into the record: that the owner sent them, that they show a zone."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from soundmetal.car import catalogue
from soundmetal.folder import store
from soundmetal.grade.contradictions import contradictions
from soundmetal.photos.arrivals import PHOTOS
from soundmetal.photos.groups import Offer
from soundmetal.record.terms import Basis

#: Sender of what the owner of the car sent, as the list of arrivals shows it.
OWNER = "owner"


def seen_in_photographs(folder: Path) -> str:
    """Write down that the car is judged by photographs alone; give a line that says so, empty where it was so before.

    What hands have found already (a probe, a reading) is not thrown away: then the basis stays, and the
    line says why.
    """
    before = store.read(folder).inspection
    body = catalogue.body(before.vehicle.body, before.vehicle.structure)
    if before.basis is Basis.PHOTOS:
        return ""
    after = before.model_copy(update={"basis": Basis.PHOTOS})
    if len(contradictions(after, body)) > len(contradictions(before, body)):
        return f"basis stays {before.basis}: the record holds what a photograph cannot tell"
    store.change(folder, [store.Change(("basis",), Basis.PHOTOS.value, was=before.basis.value)])
    return f"basis was {before.basis}, now photos: the range gets wider. Take it back with: soundmetal undo {folder}"


def agree(folder: Path, offers: Sequence[Offer]) -> None:
    """Write offered zones into the record; ChangedMeanwhile where somebody placed one of them since."""
    store.change(folder, [store.Change((PHOTOS, one.name, "zone"), one.zone, was=None) for one in offers])
