"""ZIPs that other programs wrote, read by ours; what they hold is told by their own listing.

Written by Info-ZIP zip 3.0 (`zip`, `zip -P`, `zip -y`, `zip - FILE | cat`, `zip -fz`) and by the JDK's `jar cf`, on
Linux, from two pictures of four pixels. Sizes and check sums are those that `unzip -lv` printed for them.
"""

from __future__ import annotations

import base64
import zlib
from collections.abc import Callable
from pathlib import Path

import pytest

from soundmetal.photos.arrivals import everything
from soundmetal.photos.intake import Intake

PACKED: dict[str, str] = {
    "plain": (
        "UEsDBBQAAAAIANJyeV2wgiPARwAAAE8AAAALABwAcGnDscOzbi5wbmdVVAkAAyvvBmsr7wZrdXgLAAEEAAAAAAQAAAAA6wzwc+fl"
        "kuJiYGDg9fRwCQLSTCDMASL/XplVDKTEPF0cQyrmJK/ZMDE5ISEhKQEEGBi4Yhiu/XrSOAeogsHT1c9lnVNCEwBQSwECHgMUAAAA"
        "CADScnldsIIjwEcAAABPAAAACwAYAAAAAAAAAAAApIEAAAAAcGnDscOzbi5wbmdVVAUAAyvvBmt1eAsAAQQAAAAABAAAAABQSwUG"
        "AAAAAAEAAQBRAAAAjAAAAAAA"
    ),
    "encrypted": (
        "UEsDBBQACQAIANJyeV0g3xpcUwAAAE8AAAAFABwAYi5wbmdVVAkAAyvvBmsr7wZrdXgLAAEEAAAAAAQAAAAArfuTY4H473Mw1Pi+"
        "ZmObcPQBuwlFqbRU5imbZA6SeHPkiS3ObQxD0N6Q+5xzasvbSgfAXhypHD2HfnwCmqPIGZPD7VWUQ5aDI/E3AUpDvdpo1zxQSwcI"
        "IN8aXFMAAABPAAAAUEsBAh4DFAAJAAgA0nJ5XSDfGlxTAAAATwAAAAUAGAAAAAAAAAAAAKSBAAAAAGIucG5nVVQFAAMr7wZrdXgL"
        "AAEEAAAAAAQAAAAAUEsFBgAAAAABAAEASwAAAKIAAAAAAA=="
    ),
    "with a link": (
        "UEsDBAoAAAAAANJyeV0KuR8pCwAAAAsAAAAFABwAbC5wbmdVVAkAAyvvBmsr7wZrdXgLAAEEAAAAAAQAAAAAL2V0Yy9wYXNzd2RQ"
        "SwMEFAAAAAgA0nJ5XSDfGlxHAAAATwAAAAUAHABiLnBuZ1VUCQADK+8GayvvBmt1eAsAAQQAAAAABAAAAADrDPBz5+WS4mJgYOD1"
        "9HAJAtJMIMwBIv9emVUMpMQ8XRxDKuYki2ycmJyQkJCUAAIMDKweDEWK5of3AlUweLr6uaxzSmgCAFBLAQIeAwoAAAAAANJyeV0K"
        "uR8pCwAAAAsAAAAFABgAAAAAAAAAAAD/oQAAAABsLnBuZ1VUBQADK+8Ga3V4CwABBAAAAAAEAAAAAFBLAQIeAxQAAAAIANJyeV0g"
        "3xpcRwAAAE8AAAAFABgAAAAAAAAAAACkgUoAAABiLnBuZ1VUBQADK+8Ga3V4CwABBAAAAAAEAAAAAFBLBQYAAAAAAgACAJYAAADQ"
        "AAAAAAA="
    ),
    "streamed": (
        "UEsDBBQACAAIANJyeV0AAAAAAAAAAE8AAAAFABwAYi5wbmdVVAkAAyvvBmsr7wZrdXgLAAEEAAAAAAQAAAAA6wzwc+flkuJiYGDg"
        "9fRwCQLSTCDMASL/XplVDKTEPF0cQyrmJItsnJickJCQlAACDAysHgxFiuaH9wJVMHi6+rmsc0poAgBQSwcIIN8aXEcAAABPAAAA"
        "UEsBAh4DFAAIAAgA0nJ5XSDfGlxHAAAATwAAAAUAGAAAAAAAAAAAAKSBAAAAAGIucG5nVVQFAAMr7wZrdXgLAAEEAAAAAAQAAAAA"
        "UEsFBgAAAAABAAEASwAAAJYAAAAAAA=="
    ),
    "zip64": (
        "UEsDBC0AAAAIANJyeV0g3xpc//////////8FADAAYi5wbmdVVAkAAyvvBmsr7wZrdXgLAAEEAAAAAAQAAAAAAQAQAE8AAAAAAAAA"
        "RwAAAAAAAADrDPBz5+WS4mJgYOD19HAJAtJMIMwBIv9emVUMpMQ8XRxDKuYki2ycmJyQkJCUAAIMDKweDEWK5of3AlUweLr6uaxz"
        "SmgCAFBLAQIeAy0AAAAIANJyeV0g3xpcRwAAAP////8FACQAAAAAAAAAAACkgQAAAABiLnBuZ1VUBQADK+8Ga3V4CwABBAAAAAAE"
        "AAAAAAEACABPAAAAAAAAAFBLBgYsAAAAAAAAAB4DLQAAAAAAAAAAAAEAAAAAAAAAAQAAAAAAAABXAAAAAAAAAJoAAAAAAAAAUEsG"
        "BwAAAADxAAAAAAAAAAEAAABQSwUGAAAAAAEAAQBXAAAA/////wAA"
    ),
    "jar": (
        "UEsDBBQACAgIANFyeV0AAAAAAAAAAAAAAAAJAAQATUVUQS1JTkYv/soAAAMAUEsHCAAAAAACAAAAAAAAAFBLAwQUAAgICADRcnld"
        "AAAAAAAAAAAAAAAAFAAAAE1FVEEtSU5GL01BTklGRVNULk1G803My0xLLS7RDUstKs7Mz7NSMNQz4OVyLkpNLElN0XWqBAqY6xno"
        "GZoqaLikJmUm5mnycvFyAQBQSwcIHbOzmTgAAAA3AAAAUEsDBBQACAgIANFyeV0AAAAAAAAAAAAAAAALAAAAcGnDscOzbi5wbmfr"
        "DPBz5+WS4mJgYOD19HAJAtJMIMwBIv9emVUMpMQ8XRxDKuYkr9kwMTkhISEpAQQYGLhiGK79etI4B6iCwdPVz2WdU0ITAFBLBwiw"
        "giPARwAAAE8AAABQSwMEFAAICAgA0XJ5XQAAAAAAAAAAAAAAAAUAAABiLnBuZ+sM8HPn5ZLiYmBg4PX0cAkC0kwgzAEi/16ZVQyk"
        "xDxdHEMq5iSLbJyYnJCQkJQAAgwMrB4MRYrmh/cCVTB4uvq5rHNKaAIAUEsHCCDfGlxHAAAATwAAAFBLAQIUABQACAgIANFyeV0A"
        "AAAAAgAAAAAAAAAJAAQAAAAAAAAAAAAAAAAAAABNRVRBLUlORi/+ygAAUEsBAhQAFAAICAgA0XJ5XR2zs5k4AAAANwAAABQAAAAA"
        "AAAAAAAAAAAAPQAAAE1FVEEtSU5GL01BTklGRVNULk1GUEsBAhQAFAAICAgA0XJ5XbCCI8BHAAAATwAAAAsAAAAAAAAAAAAAAAAA"
        "twAAAHBpw7HDs24ucG5nUEsBAhQAFAAICAgA0XJ5XSDfGlxHAAAATwAAAAUAAAAAAAAAAAAAAAAANwEAAGIucG5nUEsFBgAAAAAE"
        "AAQA6QAAALEBAAAAAA=="
    ),
}
#: What `unzip -lv` says: 79 bytes each, and these check sums.
BROWN, GREEN = 0xC02382B0, 0x5C1ADF20


@pytest.fixture
def arrived(tmp_path: Path, take: Callable[..., Intake]) -> Callable[..., Intake]:
    """Give a function that takes in one of the ZIPs, cut by so many bytes at its end."""

    def came(name: str, cut: int = 0) -> Intake:
        data = base64.b64decode(PACKED[name])
        (tmp_path / "z.zip").write_bytes(data[: len(data) - cut])
        return take(tmp_path / "z.zip")

    return came


def contents(car: Path) -> dict[str, tuple[int, int]]:
    """Size and check sum of every photograph."""
    files = {photo.name: photo.path.read_bytes() for photo in everything(car).photos}
    return {name: (len(data), zlib.crc32(data)) for name, data in files.items()}


@pytest.mark.parametrize(
    ("name", "held"),
    [
        ("plain", {"z/piñón.png": BROWN}),
        ("with a link", {"z/b.png": GREEN}),
        ("streamed", {"z/b.png": GREEN}),
        ("zip64", {"z/b.png": GREEN}),
        ("jar", {"z/piñón.png": BROWN, "z/b.png": GREEN}),
        ("encrypted", {}),
    ],
)
def test_what_other_programs_packed(
    arrived: Callable[..., Intake], car: Path, name: str, held: dict[str, int]
) -> None:
    done = arrived(name)
    assert set(done.added) == set(held)
    assert contents(car) == {one: (79, crc) for one, crc in held.items()}
    told = {
        "encrypted": ["z.zip > b.png: is encrypted"],
        "with a link": ["z.zip > l.png: is a link or no ordinary file"],
    }
    assert [str(bad).split(". ")[0] for bad in done.refused] == told.get(name, [])


@pytest.mark.parametrize(
    ("name", "held"),
    [
        ("plain", {"z/piñón.png": BROWN}),
        ("streamed", {"z/b.png": GREEN}),
        ("zip64", {"z/b.png": GREEN}),
        ("jar", {"z/piñón.png": BROWN, "z/b.png": GREEN}),
    ],
)
def test_the_same_without_their_ends(
    arrived: Callable[..., Intake], car: Path, name: str, held: dict[str, int]
) -> None:
    done = arrived(name, 30)
    assert contents(car) == {one: (79, crc) for one, crc in held.items()}
    assert [bad.name for bad in done.refused] == ["z.zip"]


def test_an_encrypted_one_without_its_end(arrived: Callable[..., Intake]) -> None:
    assert [bad.why for bad in arrived("encrypted", 30).refused][:1] == ["is encrypted"]
