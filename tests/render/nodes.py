"""Materials in Blender: one shows a skin, one shows its labels, a plain one is for things. Needs `bpy`."""

from __future__ import annotations

from typing import Any

import bpy
import numpy as np

from .noise import Field
from .skin import Skin
from .tone import Colour, linear


class Graph:
    """A material's nodes, a line each."""

    def __init__(self, name: str) -> None:
        self.material = bpy.data.materials.new(name)
        self.material.use_nodes = True
        self.tree = self.material.node_tree
        self.tree.nodes.clear()
        self.end = self.node("OutputMaterial")

    def node(self, kind: str, inputs: dict[Any, Any] | None = None, **settings: Any) -> bpy.types.Node:
        """Add a node; an input is a socket to link or a value."""
        made = self.tree.nodes.new("ShaderNode" + kind)
        for name, value in settings.items():
            setattr(made, name, value)
        for name, value in (inputs or {}).items():
            if isinstance(value, bpy.types.NodeSocket):
                self.tree.links.new(value, made.inputs[name])
            else:
                made.inputs[name].default_value = value
        return made

    def picture(self, name: str, values: np.ndarray, how: str = "Linear") -> bpy.types.NodeSocket:
        """A picture made of numbers: (rows, columns) or (rows, columns, 3), laid on by UV."""
        rows, columns = values.shape[:2]
        image = bpy.data.images.new(name, columns, rows, alpha=False, float_buffer=True)
        image.colorspace_settings.name = "Non-Color"
        rgba = np.ones((rows, columns, 4), np.float32)
        rgba[..., :3] = values[::-1] if values.ndim == 3 else values[::-1, :, None]
        image.pixels.foreach_set(rgba.ravel())
        image.update()
        image.pack()
        return self.node("TexImage", image=image, interpolation=how, extension="EXTEND").outputs[0]

    def math(self, what: str, a: Any, b: Any = 0.0) -> bpy.types.NodeSocket:
        return self.node("Math", {0: a, 1: b}, operation=what).outputs[0]

    def show(self, shader: bpy.types.NodeSocket) -> bpy.types.Material:
        self.tree.links.new(shader, self.end.inputs[0])
        return self.material


def skin_material(name: str, s: Skin, bump: Field) -> bpy.types.Material:
    """Steel that looks as its skin says; `bump` is the height (mm) that the mesh does not show."""
    g = Graph(name)
    film = g.node(
        "SeparateColor", {0: g.picture(name + " film", np.stack([s.rough.clip(0.05, 1), s.metal, s.gloss], -1))}
    )
    normal = g.node("Bump", {"Height": g.picture(name + " bump", bump * 0.001, "Cubic"), "Distance": 1.0})
    shader = g.node(
        "BsdfPrincipled",
        {
            "Base Color": g.picture(name + " colour", s.colour.clip(0.003, 0.9)),
            "Roughness": film.outputs[0],
            "Metallic": film.outputs[1],
            "Coat Weight": film.outputs[2],
            "Coat Roughness": 0.16,
            "Specular IOR Level": 0.4,
            "Normal": normal.outputs[0],
        },
    ).outputs[0]
    if float(s.eaten.max()) > 0:
        gone = g.math("GREATER_THAN", g.picture(name + " eaten", s.eaten), 0.0)
        shader = g.node("MixShader", {0: gone, 1: shader, 2: g.node("BsdfTransparent").outputs[0]}).outputs[0]
    return g.show(shader)


def truth_material(name: str, s: Skin | None, main: bool) -> bpy.types.Material:
    """Gives off its label (+ 10 on the main panel) as red, and u and v in mm as green and blue."""
    g = Graph("truth " + name)
    colour: Any = (0.0, 0.0, 0.0, 1.0)
    if s is not None:
        values = np.zeros((*s.shape, 3), np.float32)
        values[..., 0] = s.label + (10 if main else 0)
        label = g.node("SeparateColor", {0: g.picture("truth " + name, values, "Closest")}).outputs[0]
        uv = g.node("SeparateXYZ", {0: g.node("TexCoord").outputs["UV"]}).outputs
        u = g.math("MULTIPLY", uv[0], s.width_mm)
        v = g.math("MULTIPLY", g.math("SUBTRACT", 1.0, uv[1]), s.height_mm)
        colour = g.node("CombineColor", {0: label, 1: u, 2: v}).outputs[0]
    return g.show(g.node("Emission", {"Color": colour}).outputs[0])


def plain(
    name: str, colour: Colour, other: Colour | None = None, rough: float = 0.6, metal: float = 0.0,
    grain_mm: float = 6.0, bump_mm: float = 0.1, share: float = 0.5
) -> bpy.types.Material:  # fmt: skip
    """A material for things: two colours in patches (`share` of the second), roughness, metal, fine relief."""
    g = Graph(name)
    place = g.node("TexCoord").outputs["Object"]
    scale = 1000 / grain_mm
    fine = g.node("TexNoise", {"Vector": place, "Scale": scale, "Detail": 5.0, "Roughness": 0.65}).outputs[0]
    broad = g.node("TexNoise", {"Vector": place, "Scale": scale / 5, "Detail": 6.0, "Roughness": 0.7}).outputs[0]
    edge = 0.72 - 0.44 * share
    patch = g.node("MapRange", {0: broad, 1: edge - 0.13, 2: edge + 0.13}).outputs[0]
    a, b = (tuple(map(float, linear(c))) for c in (colour, other or tuple(int(0.7 * x) for x in colour)))
    mix = g.node("Mix", {0: patch}, data_type="RGBA")
    mix.inputs[6].default_value, mix.inputs[7].default_value = (*a, 1), (*b, 1)
    dim = g.node("Mix", {0: 0.5, 6: mix.outputs[2], 7: fine}, data_type="RGBA", blend_type="OVERLAY").outputs[2]
    normal = g.node("Bump", {"Height": fine, "Distance": bump_mm * 0.001}).outputs[0]
    surface = g.math("ADD", g.math("MULTIPLY", patch, 0.25), rough)
    return g.show(
        g.node(
            "BsdfPrincipled", {"Base Color": dim, "Roughness": surface, "Metallic": metal, "Normal": normal}
        ).outputs[0]
    )
