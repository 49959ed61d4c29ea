"""Seams of one option: the butt seam with its tacks, and the flanges that are plug welded."""

from __future__ import annotations

from soundmetal.calc.seam import tack_count
from soundmetal.record.shopbook import ShopBook
from soundmetal.repair.models import Option
from soundmetal.scope.models import Seam

BUTT = "butt seam"
LAP = "overlap seam, welded along every edge"
FLANGE = "plug-welded flange"


def seams_of(option: Option, shop: ShopBook, *, lap: bool = False) -> tuple[Seam, ...]:
    """Give the seams that an option needs, the butt seam of every cut-out first, then its flanges as one line.

    `lap` where shop book and rule book allow an overlap on this hidden panel.
    """
    plan, policies = option.geometry, shop.policies
    butts = tuple(
        Seam(
            option.panel,
            cut.findings,
            LAP if lap else BUTT,
            cut.seam_length_mm,
            policies.process,
            tack_count(cut.seam_length_mm, policies.tack_pitch, closed=not cut.ends),
            0,
            plan.visible,
        )
        for cut in plan.cutouts
        if cut.seam_length_mm > 0
    )
    if not plan.plug_welds:
        return butts
    flange = Seam(
        option.panel,
        option.findings,
        FLANGE,
        plan.factory_flange_mm,
        policies.process,
        0,
        plan.plug_welds,
        plan.visible,
    )
    return (*butts, flange)
