"""The fixed words of the record. One word for one thing; every screen, file and page uses these."""

from __future__ import annotations

from enum import StrEnum


class Basis(StrEnum):
    """How closely the car was looked at, from the least to the most."""

    PHOTOS = "photos"
    WALKROUND = "walkround"
    LIFT = "lift"
    STRIPPED = "stripped"
    BLASTED = "blasted"


class Aim(StrEnum):
    """How far the owner wants to go."""

    ARREST = "arrest"
    SOUND = "sound"
    FACTORY = "factory"


class Structure(StrEnum):
    """What carries the body."""

    FRAME = "frame"
    UNIBODY = "unibody"


class Seen(StrEnum):
    """What was seen at a finding, from the least to the worst."""

    SOUND = "sound"
    SURFACE = "surface"
    SCALE = "scale"
    PITTED = "pitted"
    HOLED = "holed"
    GONE = "gone"


class Check(StrEnum):
    """One question put to a zone."""

    LOOK = "look"
    TAP = "tap"
    PROBE = "probe"
    MAGNET = "magnet"
    GAUGE = "gauge"
    DRAIN = "drain"


class CheckResult(StrEnum):
    """What the question gave: nothing found, rust, not sure, or it was not asked."""

    CLEAR = "clear"
    RUST = "rust"
    DOUBT = "doubt"
    NOT_DONE = "not done"


class Probe(StrEnum):
    """How the steel answers thumb or probe."""

    FIRM = "firm"
    GIVES = "gives"


class Gauge(StrEnum):
    """With what a thickness was read."""

    CALIPER = "caliper"
    MICROMETER = "micrometer"
    ULTRASONIC = "ultrasonic"
    ECHO_TO_ECHO = "echo-to-echo"


class Surface(StrEnum):
    """What the gauge stood on."""

    BARE = "bare"
    CLEANED = "cleaned"
    PAINT = "paint"
    RUST = "rust"


class Mounting(StrEnum):
    """What is bolted near a finding; the first five are what the distance rule is about."""

    BELT = "belt"
    SEAT = "seat"
    SUSPENSION = "suspension"
    STEERING = "steering"
    BRAKE = "brake"
    BODY = "body"
    JACKING = "jacking"
    HINGE = "hinge"
    TANK = "tank"
    ENGINE = "engine"


class RepairKind(StrEnum):
    """What somebody did here before."""

    BUTT_WELD = "butt weld"
    LAPPED_PATCH = "lapped patch"
    RIVETED_PATCH = "riveted patch"
    FULL_PANEL = "full panel"
    FILLER = "filler"
    FIBREGLASS = "fibreglass"
    FOAM = "foam"
    TAPE = "tape"
    BRAZED = "brazed"
    UNKNOWN = "unknown"


class RepairState(StrEnum):
    """How that earlier repair stands today."""

    SOUND = "sound"
    HIDES_RUST = "hides rust"
    UNSURE = "unsure"


class NotSeenWhy(StrEnum):
    """Why a zone was not seen."""

    COVERED = "covered"
    FILLED = "filled"
    UNREACHABLE = "unreachable"
    NO_TIME = "no time"
    NO_PHOTOGRAPH = "no photograph"


class MarkKind(StrEnum):
    """Shapes of a call-out on a photograph; a cover takes away what lies under it."""

    POINT = "point"
    CIRCLE = "circle"
    BOX = "box"
    POLYGON = "polygon"
    ARROW = "arrow"
    LINE = "line"
    COVER = "cover"


class Reply(StrEnum):
    """The owner's answer for one finding."""

    YES = "yes"
    NO = "no"
    TALK = "talk to me"


class Stage(StrEnum):
    """Where a car stands in the shop, once the owner has answered."""

    METAL = "at the metal"
    AWAY = "away"
    BACK = "back"
    CLOSED = "closed"


class TakenWhen(StrEnum):
    """When a photograph of a finding was taken: before the work, during it, or after."""

    BEFORE = "before"
    DURING = "during"
    AFTER = "after"


class Corrosivity(StrEnum):
    """ISO 9223 category of the place where the car lives."""

    C1 = "C1"
    C2 = "C2"
    C3 = "C3"
    C4 = "C4"
    C5 = "C5"
    CX = "CX"


class Units(StrEnum):
    """Units that the reader likes; inside everything is metric."""

    US = "us"
    METRIC = "metric"


class Paper(StrEnum):
    """Sheet that the PDFs are set on."""

    LETTER = "letter"
    A4 = "A4"
