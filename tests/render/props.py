"""Things that lie about or are bolted on: bolts, rivets, lines, a steel rule, a tape, crumbs. Needs `bpy`."""

from __future__ import annotations

import math

import bpy
import numpy as np
from mathutils import Vector
from PIL import Image, ImageDraw, ImageFont

from .nodes import Graph, plain
from .stage import MM, Stage

Spot = tuple[float, float, float]


def _shade(thing: bpy.types.Object, material: bpy.types.Material, bevel: float = 0.0) -> bpy.types.Object:
    thing.data.materials.append(material)
    if bevel:
        cut = thing.modifiers.new("bevel", "BEVEL")
        cut.width, cut.segments = bevel * MM, 3
    for face in thing.data.polygons:
        face.use_smooth = True
    return thing


def _facing(way: Spot) -> tuple[float, float, float]:
    return tuple(Vector(way).to_track_quat("Z", "Y").to_euler())


def box(
    at: Spot, size: Spot, material: bpy.types.Material, turn: Spot = (0, 0, 0), bevel: float = 2.0
) -> bpy.types.Object:
    """A block of a size in mm, turned by degrees."""
    bpy.ops.mesh.primitive_cube_add(size=1, location=Vector(at) * MM, rotation=[math.radians(t) for t in turn])
    made = bpy.context.object
    made.scale = Vector(size) * MM
    bpy.ops.object.transform_apply(location=False, rotation=False, scale=True)
    return _shade(made, material, bevel)


def rod(
    at: Spot, way: Spot, radius: float, long: float, material: bpy.types.Material, sides: int = 40, bevel: float = 1.0
) -> bpy.types.Object:
    """A cylinder (or a prism of so many sides) centred at a spot, its axis along `way`."""
    bpy.ops.mesh.primitive_cylinder_add(
        radius=radius * MM, depth=long * MM, location=Vector(at) * MM, rotation=_facing(way), vertices=sides
    )
    return _shade(bpy.context.object, material, bevel)


def bolt(at: Spot, way: Spot, across: float, material: bpy.types.Material, washer: bool = True) -> None:
    """A hexagon head with a washer, its face towards `way`."""
    out = Vector(way).normalized()
    if washer:
        rod(tuple(Vector(at) + out * 1.2), way, across * 0.95, 2.4, material, 48, 0.6)
    rod(tuple(Vector(at) + out * (2.4 + across * 0.3)), way, across * 0.577, across * 0.62, material, 6, 0.9)


def rivet(at: Spot, way: Spot, radius: float, material: bpy.types.Material) -> None:
    """A button-head rivet."""
    bpy.ops.mesh.primitive_uv_sphere_add(
        radius=radius * MM, location=Vector(at) * MM, rotation=_facing(way), segments=40, ring_count=20
    )
    bpy.context.object.scale = (1, 1, 0.62)
    _shade(bpy.context.object, material)


def line(path: list[Spot], radius: float, material: bpy.types.Material) -> None:
    """A tube or a cable bent through spots."""
    curve = bpy.data.curves.new("line", "CURVE")
    curve.dimensions, curve.bevel_depth, curve.resolution_u, curve.bevel_resolution = "3D", radius * MM, 24, 5
    curve.use_fill_caps = True
    spline = curve.splines.new("BEZIER")
    spline.bezier_points.add(len(path) - 1)
    for point, spot in zip(spline.bezier_points, path, strict=True):
        point.co = Vector(spot) * MM
        point.handle_left_type = point.handle_right_type = "AUTO"
    curve.materials.append(material)
    bpy.context.scene.collection.objects.link(bpy.data.objects.new("line", curve))


def lug(at: Spot, way: Spot, metal: bpy.types.Material) -> None:
    """A cable's end: a crimped sleeve and a flat ring."""
    out = Vector(way).normalized()
    rod(tuple(Vector(at) + out * 9), way, 6.5, 24, metal, 24, 1)
    rod(tuple(Vector(at) + out * 27), (0, 0, 1), 11, 3, metal, 32, 0.8)
    rod(tuple(Vector(at) + out * 27), (0, 0, 1), 5, 3.6, plain("hole", (14, 14, 14), None, 0.9, 0, 8), 24, 0)


def hand_lamp(at: Spot, turn: float) -> None:
    """An inspection lamp that lies at a spot, turned by degrees: a lit tube in a cage, a rubber handle, its cable."""
    way = (math.cos(math.radians(turn)), math.sin(math.radians(turn)), 0.0)
    along = Vector(way)
    black = plain("lamp handle", (24, 24, 25), (52, 48, 44), 0.7, 0, 8, 0.3, 0.3)
    g = Graph("lamp tube")
    glow = g.show(g.node("Emission", {"Color": (1, 0.93, 0.82, 1), "Strength": 6.0}).outputs[0])
    rod(tuple(Vector(at) + along * 95), way, 12, 170, glow, 32, 4)
    rod(tuple(Vector(at) - along * 62), way, 17, 140, black, 32, 6)
    for k in (8, 182):
        rod(tuple(Vector(at) + along * k), way, 19, 8, black, 32, 2)
    for k in range(4):
        a = math.radians(45 + 90 * k)
        side = Vector((-along.y, along.x, 0)) * math.cos(a) * 17 + Vector((0, 0, 1)) * math.sin(a) * 17
        rod(tuple(Vector(at) + along * 95 + side), way, 1.6, 180, black, 12, 0)
    end = Vector(at) - along * 130
    line(
        [tuple(end), tuple(end - along * 60 - Vector((0, 0, 4))), tuple(end - along * 160 - Vector((0, 30, 12)))],
        4,
        black,
    )


def _scale_picture(
    long: int, wide: float, body: tuple[int, int, int], ink: tuple[int, int, int], dot: int = 10
) -> np.ndarray:
    """Graduations in mm with figures every cm, drawn `dot` pixels a mm."""
    picture = Image.new("RGB", (long * dot, round(wide * dot)), body)
    pen, font = ImageDraw.Draw(picture), ImageFont.load_default(size=wide * dot * 0.26)
    for mm in range(long + 1):
        tick = wide * (0.34 if mm % 10 == 0 else 0.26 if mm % 5 == 0 else 0.17)
        pen.rectangle([mm * dot - 1, 0, mm * dot + 0.6, tick * dot], fill=ink)
        if mm % 10 == 0 and 0 < mm < long:
            pen.text((mm * dot, wide * dot * 0.56), str(mm // 10), font=font, fill=ink, anchor="mm")
        if mm % 2 == 0:
            pen.rectangle([mm * dot - 1, (wide - tick * 0.7) * dot, mm * dot + 0.6, wide * dot], fill=ink)
    return np.asarray(picture, np.float32) / 255


def _strip(name: str, long: float, wide: float, bow: float) -> bpy.types.Object:
    n = 60
    t = np.linspace(-0.5, 0.5, n)
    rows = [np.stack([t * long, np.full(n, side * wide / 2), bow * (4 * t * t - 1) * -1], -1) for side in (1, -1)]
    at = np.concatenate(rows) * MM
    faces = [(k, n + k, n + k + 1, k + 1) for k in range(n - 1)]
    mesh = bpy.data.meshes.new(name)
    mesh.from_pydata(at.tolist(), [], faces)
    layer = mesh.uv_layers.new()
    for polygon in mesh.polygons:
        for loop in polygon.loop_indices:
            v = mesh.loops[loop].vertex_index
            layer.data[loop].uv = ((v % n) / (n - 1), 1 - v // n)
    made = bpy.data.objects.new(name, mesh)
    bpy.context.scene.collection.objects.link(made)
    return made


def _printed(name: str, picture: np.ndarray, metal: float, rough: float, dirt: float) -> bpy.types.Material:
    g = Graph(name)
    place = g.node("TexCoord").outputs["Object"]
    noise = g.node("TexNoise", {"Vector": place, "Scale": 34.0, "Detail": 8.0, "Roughness": 0.7}).outputs[0]
    smear = g.node("MapRange", {0: noise, 1: 0.45, 2: 0.75, 3: 0.0, 4: dirt}).outputs[0]
    colour = g.node(
        "Mix", {0: smear, 6: g.picture(name, picture**2.2), 7: (0.09, 0.06, 0.04, 1)}, data_type="RGBA"
    ).outputs[2]
    shader = g.node(
        "BsdfPrincipled",
        {"Base Color": colour, "Metallic": metal, "Roughness": g.math("ADD", g.math("MULTIPLY", noise, 0.25), rough)},
    )
    return g.show(shader.outputs[0])


def rule(at: Spot, turn: Spot, long: int = 300) -> bpy.types.Object:
    """A steel rule of a length in mm, 26 wide, lying at a spot; unturned it lies in x, its face up."""
    made = _strip("rule", long, 26, 0)
    made.data.materials.append(
        _printed("rule", _scale_picture(long, 26, (158, 159, 158), (24, 24, 26)), 0.45, 0.36, 0.5)
    )
    thick = made.modifiers.new("thick", "SOLIDIFY")
    thick.thickness = 0.9 * MM
    made.location, made.rotation_euler = Vector(at) * MM, [math.radians(t) for t in turn]
    return made


def tape(at: Spot, turn: Spot, long: int = 420) -> bpy.types.Object:
    """A yellow tape pulled out over a place, hollow across and a little bowed, with its case at the right end."""
    made = _strip("tape", long, 19, 2.5)
    made.data.materials.append(
        _printed("tape", _scale_picture(long, 19, (226, 184, 52), (28, 26, 24)), 0.0, 0.38, 0.45)
    )
    made.location, made.rotation_euler = Vector(at) * MM, [math.radians(t) for t in turn]
    case = box((0, 0, 0), (68, 34, 64), plain("case", (40, 40, 42), (120, 30, 26), 0.45, 0, 8, 0.05, 0.2), bevel=9)
    case.parent = made
    case.location = Vector((long / 2 + 30, -4, 24)) * MM
    return made


def crumbs(
    stage: Stage,
    spots: np.ndarray,
    sizes: np.ndarray,
    seed: int = 1,
    materials: list[bpy.types.Material] | None = None,
) -> None:
    """Flakes of rust (or of another material): thin, broken, each of its own shape. Spots and sizes in mm."""
    rng = np.random.default_rng(seed)
    materials = materials or [
        plain(f"crumb{k}", c, None, 0.92, 0, 1.5, 0.15)
        for k, c in enumerate(((92, 56, 38), (64, 44, 36), (132, 84, 54)))
    ]
    for spot, size in zip(spots, sizes, strict=True):
        n = int(rng.integers(5, 9))
        angle = np.sort(rng.uniform(0, 2 * np.pi, n))
        far = size / 2 * rng.uniform(0.45, 1.1, n)
        rim = np.stack(
            [far * np.cos(angle), far * np.sin(angle) * rng.uniform(0.5, 1), rng.normal(0, 0.1 * size, n)], -1
        )
        middle = np.array([[0, 0, rng.uniform(0.05, 0.2) * size], [0, 0, -0.08 * size]])
        at = np.concatenate([rim, middle])
        faces = [(k, (k + 1) % n, n) for k in range(n)] + [((k + 1) % n, k, n + 1) for k in range(n)]
        mesh = bpy.data.meshes.new("crumb")
        mesh.from_pydata((at * MM).tolist(), [], faces)
        mesh.materials.append(materials[int(rng.integers(0, 3))])
        made = stage.add(bpy.data.objects.new("crumb", mesh))
        made.location = Vector(spot) * MM
        made.rotation_euler = rng.uniform(-0.35, 0.35, 3) + np.array([0, 0, rng.uniform(0, 6)])
