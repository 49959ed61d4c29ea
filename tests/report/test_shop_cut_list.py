"""What goes along to the cutting table: the cut list tells what the packet's page does; a picture of every blank."""

from __future__ import annotations

import csv
import io
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest

from soundmetal.report.job import Job
from soundmetal.report.shop_cut_list import cut_notes, cut_pictures
from soundmetal.scope.blanks import TEMPLATE
from soundmetal.scope.cut_files import cut_files
from soundmetal.scope.cut_names import CUT_LIST
from soundmetal.scope.models import Scope
from soundmetal.scope.work import work_out


def with_scope(job: Job, scope: Scope) -> Job:
    return replace(job, scopes={**job.scopes, job.inspection.aim: scope})


@pytest.fixture(scope="module")
def worked(job: Job) -> Job:
    """The job with the scope that is really worked out, with blanks."""
    scope = work_out(job.inspection, job.body, job.shop, job.book, job.grades, job.inspection.aim)
    return with_scope(job, scope)


def test_the_list_tells_what_the_page_tells(worked: Job) -> None:
    notes = cut_notes(worked)
    made = cut_files(worked.scope.blanks, worked.shop, notes, cut_pictures(worked))
    rows = {row["blank"]: row for row in csv.DictReader(io.StringIO(made.files[CUT_LIST].decode()))}
    bent = [blank for blank in worked.scope.blanks if blank.bend_lines]
    assert bent
    for blank in worked.scope.blanks:
        told = rows[blank.id]["notes"]
        assert told == notes[blank.id]
        assert (TEMPLATE in told) == (TEMPLATE in blank.grain_note)
        assert ("Bend across the grain" in told) == bool(blank.bend_lines)
        assert told.count("from the bottom edge") >= sum(b.start[1] == b.end[1] for b in blank.bend_lines[:1])
        assert rows[blank.id]["drawing"].replace(".dxf", ".svg") in made.files


def test_holes_that_are_only_marked_are_told(worked: Job) -> None:
    """A 3 mm hole is under twice the kerf of 1.5 mm, 1.5 times the thickness and 4 mm (design guide, read)."""
    first = worked.scope.blanks[0]
    x0, y0 = min(x for x, _ in first.flat_mm), min(y for _, y in first.flat_mm)
    x1, y1 = max(x for x, _ in first.flat_mm), max(y for _, y in first.flat_mm)
    x, y = (x0 + x1) / 2, (y0 + y1) / 2
    hole = ((x - 1.5, y - 1.5), (x + 1.5, y - 1.5), (x + 1.5, y + 1.5), (x - 1.5, y + 1.5))
    scope = replace(worked.scope, blanks=(replace(first, openings_mm=(hole,)),))
    told = cut_notes(with_scope(worked, scope))[first.id].replace("\u00a0", " ")
    assert "Hole to drill, " in told
    assert "too small for the cutter, which marks its middle" in told


def test_the_grain_that_the_table_keeps_is_told(worked: Job) -> None:
    shop = worked.shop.model_copy(
        update={
            "cutting": worked.shop.cutting.model_copy(update={"keep_grain": ("single curve", "flat", "compound")})
        }
    )
    told = cut_notes(replace(worked, shop=shop))
    assert all("Keep the grain: its length lies along the sheet's length." in notes for notes in told.values())
    assert not any("Keep the grain" in notes for notes in cut_notes(worked).values())


def test_pictures_stand_alone(worked: Job) -> None:
    pictures = cut_pictures(worked)
    assert set(pictures) == {blank.id for blank in worked.scope.blanks}
    for data in pictures.values():
        root = ET.fromstring(data)
        assert root.tag == "{http://www.w3.org/2000/svg}svg"
        assert root.attrib["width"].endswith("mm")
    assert cut_pictures(worked) == pictures
