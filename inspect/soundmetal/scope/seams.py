"""Seams of one option: the butt seams with their tack plans, and the flanges that are plug welded."""

from __future__ import annotations

from soundmetal.calc.plug import plug_row
from soundmetal.grade.models import Step
from soundmetal.record.shopbook import ShopBook
from soundmetal.repair.geometry import flange_lengths
from soundmetal.repair.models import Cutout, Option
from soundmetal.scope.models import Seam
from soundmetal.scope.tacking import tack_plan
from soundmetal.scope.welding import spot_pitch_mm, weld_plan

BUTT = "butt seam"
LAP = "overlap seam, welded along every edge"
FLANGE = "plug-welded flange"


def seams_of(
    option: Option, shop: ShopBook, thickness_mm: float, *, lap: bool = False, why: Step | None = None
) -> tuple[Seam, ...]:
    """Give the seams that an option needs, the butt seam of every cut-out first, then its flanges as one line.

    `thickness_mm` is the new steel's; `lap` where shop book and rule book allow an overlap on this hidden panel, and
    `why` tells why it may or may not lie over.
    """
    cuts = [cut for cut in option.geometry.cutouts if cut.seam_length_mm > 0]
    butts = tuple(_butt(option, cut, shop, thickness_mm, LAP if lap else BUTT, why) for cut in cuts)
    if not option.geometry.plug_welds:
        return butts
    return (*butts, _flange(option, shop, thickness_mm))


def _butt(option: Option, cut: Cutout, shop: ShopBook, thickness_mm: float, kind: str, why: Step | None) -> Seam:
    plan = tack_plan(cut, shop.policies.tack_pitch)
    return Seam(
        panel=option.panel,
        findings=cut.findings,
        kind=kind,
        length_mm=cut.seam_length_mm,
        process=shop.policies.process,
        tacks=len(plan.at_mm) if plan else 0,
        plugs=0,
        visible=option.geometry.visible,
        plan=plan,
        weld=weld_plan(cut.seam_length_mm, 0, thickness_mm, shop),
        why=why,
    )


def _flange(option: Option, shop: ShopBook, thickness_mm: float) -> Seam:
    """All flanges as one line: the factory's pitch where the shop book has it, and its spots drilled out first."""
    found, policies = option.geometry, shop.policies
    lengths = [length for cut in found.cutouts for length in flange_lengths(cut)]
    rows = [plug_row(length, policies.plug_end, policies.plug_pitch) for length in lengths]
    return Seam(
        panel=option.panel,
        findings=option.findings,
        kind=FLANGE,
        length_mm=found.factory_flange_mm,
        process=policies.process,
        tacks=0,
        plugs=found.plug_welds,
        visible=found.visible,
        weld=weld_plan(0.0, found.plug_welds, thickness_mm, shop),
        pitch_mm=max((row.pitch_mm for row in rows), default=0.0),
        drilled=found.drilled_spots,
        spot_pitch_mm=spot_pitch_mm(thickness_mm),
    )
