"""A small hand for writing SVG: one unit is one millimetre on paper, numbers are short, text is escaped."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from markupsafe import Markup, escape

from soundmetal.report.palette import INK

Point = tuple[float, float]
FONT = "Alegreya Sans"


def num(value: float) -> str:
    """Write a number with at most two decimals, never `-0`.

    >>> num(1.5), num(-0.001), num(2.0)
    ('1.5', '0', '2')
    """
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def attributes(values: dict[str, object]) -> str:
    """Write attributes in the order given; `_` in a name stands for `-`."""
    shown = ((k.rstrip("_").replace("_", "-"), num(v) if isinstance(v, float) else v) for k, v in values.items())
    return "".join(f' {key}="{escape(str(value))}"' for key, value in shown if value is not None)


def path_of(points: Sequence[Point], closed: bool = True) -> str:
    """Write points as the `d` of a path."""
    start, *rest = (f"{num(x)} {num(y)}" for x, y in points)
    return f"M{start}" + "".join(f"L{step}" for step in rest) + ("Z" if closed else "")


class Drawing:
    """One drawing under work: add shapes, then take `markup`."""

    def __init__(self, width_mm: float, height_mm: float, title: str, *, css: str = "") -> None:
        """Start a drawing of that size on paper; `title` is its text alternative."""
        self.width_mm = width_mm
        self.height_mm = height_mm
        self.title = title
        self.css = css
        self._parts: list[str] = []

    def holds(self, bounds: tuple[float, float, float, float]) -> bool:
        """Say whether a box (left, top, right, bottom) lies inside the drawing."""
        return bounds[0] >= 0 and bounds[1] >= 0 and bounds[2] <= self.width_mm and bounds[3] <= self.height_mm

    def path(self, d: str, **style: object) -> None:
        """Add a path; without a fill it has none."""
        self._parts.append(f"<path{attributes({'d': d, 'fill': 'none', **style})}/>")

    def polygon(self, points: Sequence[Point], **style: object) -> None:
        """Add a closed shape."""
        self.path(path_of(points), **style)

    def polyline(self, points: Sequence[Point], **style: object) -> None:
        """Add an open line."""
        self.path(path_of(points, closed=False), **{"stroke": INK, "stroke_width": 0.25, **style})

    def segments(self, lines: Iterable[tuple[Point, Point]], **style: object) -> None:
        """Add many straight strokes as one path."""
        d = "".join(f"M{num(a)} {num(b)}L{num(c)} {num(e)}" for (a, b), (c, e) in lines)
        if d:
            self.path(d, **style)

    def rect(self, x: float, y: float, width: float, height: float, **style: object) -> None:
        """Add a rectangle."""
        self.polygon([(x, y), (x + width, y), (x + width, y + height), (x, y + height)], **style)

    def circle(self, x: float, y: float, radius: float, **style: object) -> None:
        """Add a circle."""
        values = {"cx": x, "cy": y, "r": radius, "fill": "none", **style}
        self._parts.append(f"<circle{attributes(values)}/>")

    def text(self, x: float, y: float, words: object, size: float = 3.0, **style: object) -> None:
        """Add a line of text; `size` in mm."""
        values = {"x": x, "y": y, "font_size": num(size), "font_family": FONT, "fill": INK, **style}
        self._parts.append(f"<text{attributes(values)}>{escape(words)}</text>")

    @property
    def markup(self) -> Markup:
        """The finished SVG element."""
        size = {"width": f"{num(self.width_mm)}mm", "height": f"{num(self.height_mm)}mm"}
        box = f"0 0 {num(self.width_mm)} {num(self.height_mm)}"
        head = attributes({"xmlns": "http://www.w3.org/2000/svg", "role": "img", "class_": self.css or None, **size})
        body = "".join(self._parts)
        return Markup(f'<svg{head} viewBox="{box}"><title>{escape(self.title)}</title>{body}</svg>')  # noqa: S704
