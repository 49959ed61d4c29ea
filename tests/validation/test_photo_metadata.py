"""Metadata of other people's photographs against exiftool 12.57, a reader that shares no code with ours.

Two sets: photographs of cameras and phones that may lie beside the checkout (truth.json there), and those in the
source archives of Pillow, pillow-heif and piexif (index_photos_truth.json here, by `fetch_photos.py truth`). A set
that is absent gives no tests; the session says so after collection. Angles: exiftool prints 15 digits, so 1e-9
degrees is the rounding of the source. exiftool tells the stored size; its own orientation tells if the sides swap.
"""

from __future__ import annotations

import json
import runpy
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from soundmetal.photos.copies import prepare
from soundmetal.photos.exif import PhotoFacts, read
from soundmetal.photos.scan import Scan, scan
from soundmetal.photos.shrink import shrunk

TOOLS = runpy.run_path(str(Path(__file__).parents[1] / "fetch_photos.py"))
SHARED: Path | None = TOOLS["shared"]()
SHARED_TRUTH: dict[str, Any] = json.loads((SHARED / "truth.json").read_text(encoding="utf-8")) if SHARED else {}
INDEX: dict[str, Path] = TOOLS["fetched"]()
INDEX_TRUTH: dict[str, Any] = TOOLS["truth"]()["pictures"]
ANGLE_DEG = 1e-9
#: exiftool gives these up at the first bytes ("JPEG format error") or reads them as something else than a picture.
NOT_READ = ("JPEG format error", "File format error")
NO_PICTURE = ("XMP", "MOV")


def text(value: object) -> str:
    """A maker called 456 is a number to exiftool's JSON; it pads nothing that we strip."""
    return "" if value is None else str(value).strip()


def same_time(facts: PhotoFacts, said: str | None) -> bool:
    """Blank and nought dates are unknown to us; exiftool repeats them as they stand."""
    known = None if said is None or not said.strip(" :0") else said
    return (facts.taken.strftime("%Y:%m:%d %H:%M:%S") if facts.taken else None) == known


def same_place(facts: PhotoFacts, latitude: float | None, longitude: float | None) -> bool:
    """0, 0 is what a receiver without a fix writes: no position to us."""
    if latitude in (None, "") or longitude in (None, "") or (latitude == 0 and longitude == 0):
        return facts.latitude is None and facts.longitude is None
    if facts.latitude is None or facts.longitude is None:
        return False
    return abs(facts.latitude - latitude) <= ANGLE_DEG and abs(facts.longitude - longitude) <= ANGLE_DEG


def compared(name: str, said: dict[str, Any]) -> bool:
    """Leave out what exiftool could not read itself; those files are in the test of refusals below."""
    unread = said["exiftool_warning"] in NOT_READ or said["exiftool_error"] in NOT_READ
    return not unread and said["type"] not in NO_PICTURE and name != "corrupt/corrupted.hif"


if SHARED:
    COMPARED = [name for name, said in SHARED_TRUTH.items() if compared(name, said)]

    @pytest.mark.parametrize("name", COMPARED)
    def test_facts_equal_the_independent_reader(name: str) -> None:
        said = SHARED_TRUTH[name]
        facts = read(SHARED / name)  # type: ignore[operator]
        assert same_time(facts, said["exif_dto"])
        assert facts.offset == (said["exif_offset"] or None)
        assert facts.orientation == (said["orientation"] or 1)
        assert (facts.make, facts.model) == (text(said["make"]), text(said["model"]))
        assert same_place(facts, said["gps_lat"], said["gps_lon"])
        assert facts.keywords == tuple(map(str, said["xmp_subject"] or said["iptc_keywords"]))
        if "upright_size" in said["pillow"]:
            assert [facts.width, facts.height] == said["pillow"]["upright_size"]

    def test_nearly_every_file_is_compared() -> None:
        assert len(SHARED_TRUTH) == 52
        left_out = sorted(set(SHARED_TRUTH) - set(COMPARED))
        assert left_out == [
            "corrupt/corrupted.hif",
            "corrupt/decompression_bomb.gif",
            "corrupt/huge_tag_exif.jpg",
            "formats/meta.mov",
            "keywords/IMG_5910.xmp",
            "phone/2216-11-15-11-46-51-sep-2216-11-15-11-46-51a.jpg",
        ]

    @pytest.fixture(scope="module")
    def shared_scan() -> Scan:
        return scan(SHARED)  # type: ignore[arg-type]

    def test_only_what_the_noted_decoder_refuses_is_refused(shared_scan: Scan, tmp_path: Path) -> None:
        """Pillow, as noted in truth.json, against our scan and our copies; 200 megapixels is over our limit."""
        made = prepare(shared_scan.photos, tmp_path)
        refused = {bad.name for bad in (*shared_scan.refused, *made.refused)}
        fails = {name for name, said in SHARED_TRUTH.items() if said["pillow"]["status"] == "error"}
        assert refused == fails - {"keywords/IMG_5910.xmp"}
        assert "heic/200MP.heic" in refused

    def test_copies_are_upright(shared_scan: Scan, tmp_path: Path) -> None:
        """ImageMagick's upright size where it has one, scaled to 400 pixels: within one pixel, the rounding."""
        made = prepare(shared_scan.photos, tmp_path, long_side_px=400)
        compared = 0
        for name, copy in made.copies.items():
            said = SHARED_TRUTH[name]["imagemagick"]["upright"]
            if said:
                width, height = map(int, said.split("x"))
                factor = min(1.0, 400 / max(width, height))
                assert abs(copy.width - width * factor) <= 1, name
                assert abs(copy.height - height * factor) <= 1, name
                compared += 1
        assert compared >= 38

    def test_the_eight_orientations_look_alike(tmp_path: Path) -> None:
        """One photograph stored eight ways by its makers: after turning, the same picture.

        Each was compressed on its own, so the pixels differ by JPEG noise: the mean difference stays under 2 of 255
        (two generations at quality 90 give about 1; chosen by trying, no source). A wrong turn gives over 30.
        """
        folder = SHARED / "orientation"  # type: ignore[operator]
        pictures = [np.asarray(shrunk(folder / f"Portrait_{n}.jpg", 600), dtype=float) for n in range(1, 9)]
        first = pictures[0]
        assert first.shape == (600, 400, 3)
        for other in pictures[1:]:
            assert np.abs(other - first).mean() < 2
        for wrong in (first[::-1], first[:, ::-1], first[::-1, ::-1]):
            assert np.abs(wrong - first).mean() > 30


if INDEX:

    @pytest.mark.parametrize("name", sorted(INDEX))
    def test_index_photographs_equal_the_independent_reader(name: str) -> None:
        said = INDEX_TRUTH[name]
        facts = read(INDEX[name])
        assert same_time(facts, said["taken"])
        assert facts.offset == said["offset"]
        assert facts.orientation == (said["orientation"] or 1)
        assert (facts.make, facts.model) == (said["make"], said["model"])
        assert same_place(facts, said["latitude"], said["longitude"])
        assert facts.keywords == tuple(said["xmp"] or said["iptc"])
        assert [facts.width, facts.height] == said["upright"]

    def test_copies_of_index_photographs_are_upright_and_clean(tmp_path: Path) -> None:
        found = [
            photo for photo in scan(TOOLS["FETCHED"]).photos if photo.name in INDEX and photo.size_bytes < 400_000
        ]
        made = prepare(found, tmp_path, long_side_px=300)
        for name, copy in made.copies.items():
            width, height = INDEX_TRUTH[name]["upright"]
            factor = min(1.0, 300 / max(width, height))
            assert (copy.width, copy.height) == (max(1, round(width * factor)), max(1, round(height * factor))), name
            with Image.open(copy.path) as picture:
                assert sorted(picture.info) == ["jfif", "jfif_density", "jfif_unit", "jfif_version"], name
                assert not picture.getexif(), name
        assert len(made.copies) + len(made.refused) == len(found)
