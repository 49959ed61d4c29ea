"""A scene in Blender: panels that carry skins, things, lamps and a camera; renders light and truth. Needs `bpy`."""

from __future__ import annotations

import math
import tempfile
from pathlib import Path
from typing import Any

import bpy
import numpy as np
from mathutils import Vector

from .nodes import plain, skin_material, truth_material
from .noise import blur
from .shapes import Shape
from .skin import Skin

MM = 0.001
#: Who holds the telephone stands otherwise: mm added to the eye of a scene, degrees to its roll.
HELD = {"pickup": (0.0, 0.0, 0.0, 0.0), "coupe": (75.0, -45.0, 50.0, -3.0)}
OVERSCAN = 1.05  # the lens bends the picture afterwards; its edges must not run out


class Stage:
    """One scene. All lengths handed in are mm, all energies W of Blender's lamps."""

    def __init__(self, pixels: int = 1600, detail: float = 1.0, seed: int = 1, car: str = "pickup") -> None:
        bpy.ops.wm.read_factory_settings(use_empty=True)
        self.scene, self.pixels, self.detail, self.seed = bpy.context.scene, pixels, detail, seed
        self.car = car
        self.along = 0  # how far along the shop the scene lies, mm: not every picture has the same things behind it
        self.world = bpy.data.worlds.new("w")
        self.scene.world = self.world
        self.world.use_nodes = True
        self.truth: dict[str, Any] = {}
        self.about: dict[str, Any] = {}
        self.tall = False

    def skin(self, width_mm: float, height_mm: float, fine: float, seed: int = 0) -> Skin:
        """A skin at `fine` pixels a mm when the picture is 1600 wide; coarser for a preview."""
        return Skin(width_mm, height_mm, fine * self.detail, self.seed * 1000 + seed, self.car)

    def panel(
        self,
        name: str,
        shape: Shape,
        s: Skin,
        main: bool = False,
        step: float = 1.4,
        thick: float = 0.0,
        sag: float = 1.0,
    ) -> bpy.types.Object:
        """Hang a skin on a shape. `thick`: a second, inner side that many mm behind. `sag`: dents of that many mm."""
        nx, ny = (max(int(n / step), 2) for n in (s.width_mm, s.height_mm))
        if nx * ny > 450_000:
            shrink = math.sqrt(450_000 / nx / ny)
            nx, ny = int(nx * shrink), int(ny * shrink)
        u, v = np.meshgrid(np.linspace(0, s.width_mm, nx), np.linspace(0, s.height_mm, ny))
        rows = (
            np.clip((v * s.fine).astype(int), 0, s.shape[0] - 1),
            np.clip((u * s.fine).astype(int), 0, s.shape[1] - 1),
        )
        low = blur(s.height, 0.5 * step * s.fine)
        rise = s.form[rows] + low[rows] + sag * 0.6 * s.clouds("sag", 180, 2)[rows]
        at = shape(u, v)
        out = np.cross(np.gradient(at, axis=0), np.gradient(at, axis=1))
        out /= np.maximum(np.linalg.norm(out, axis=-1, keepdims=True), 1e-9)
        uv = np.stack([u / s.width_mm, 1 - v / s.height_mm], -1)
        material = skin_material(name, s, s.height - low)
        made = self._mesh(name, at + out * rise[..., None], uv, material)
        self.truth[made.name] = (s, main)  # a second door is called otherwise by Blender
        if thick:
            back = self._mesh(name + " back", at + out * ((rise - 0.4 * low[rows])[..., None] - thick), uv, material)
            self.truth[back.name] = (s, False)
        return made

    def _mesh(self, name: str, at: np.ndarray, uv: np.ndarray, material: bpy.types.Material) -> bpy.types.Object:
        ny, nx, _ = at.shape
        corner = (np.arange(ny - 1)[:, None] * nx + np.arange(nx - 1)).ravel()
        faces = np.stack([corner, corner + nx, corner + nx + 1, corner + 1], -1)
        mesh = bpy.data.meshes.new(name)
        mesh.vertices.add(nx * ny)
        mesh.vertices.foreach_set("co", (at * MM).astype(np.float32).ravel())
        mesh.loops.add(faces.size)
        mesh.loops.foreach_set("vertex_index", faces.ravel().astype(np.int32))
        mesh.polygons.add(len(faces))
        mesh.polygons.foreach_set("loop_start", np.arange(0, faces.size, 4, dtype=np.int32))
        mesh.polygons.foreach_set("use_smooth", np.ones(len(faces), bool))
        mesh.uv_layers.new().data.foreach_set("uv", uv.reshape(-1, 2)[faces.ravel()].astype(np.float32).ravel())
        mesh.update(calc_edges=True)
        mesh.materials.append(material)
        return self.add(bpy.data.objects.new(name, mesh))

    def add(self, thing: bpy.types.Object) -> bpy.types.Object:
        """Put a thing on the stage."""
        self.scene.collection.objects.link(thing)
        return thing

    def camera(
        self, eye: tuple[float, float, float], target: tuple[float, float, float], lens: float = 27,
        roll: float = 0.0, tall: bool = False, fstop: float = 9.0
    ) -> None:  # fmt: skip
        """A telephone held at `eye`; `lens` in mm as on 35 mm film, `tall`: held upright, `roll` in degrees."""
        *by, more = HELD[self.car]
        eye, roll = (eye[0] + by[0], eye[1] + by[1], eye[2] + by[2]), roll + more
        lens_data = bpy.data.cameras.new("camera")
        held = self.add(bpy.data.objects.new("camera", lens_data))
        look = Vector(target) - Vector(eye)
        turn = look.to_track_quat("-Z", "Y").to_euler()
        turn.rotate_axis("Z", math.radians(roll))
        held.location, held.rotation_euler = Vector(eye) * MM, turn
        lens_data.lens, lens_data.sensor_width, lens_data.sensor_fit = lens / OVERSCAN, 36, "AUTO"
        lens_data.dof.use_dof, lens_data.dof.focus_distance = True, look.length * MM
        lens_data.dof.aperture_fstop = fstop
        self.scene.camera, self.tall = held, tall
        self.about["camera"] = {"eye_mm": eye, "target_mm": target, "lens_mm": lens, "roll_degrees": roll}

    def lamp(
        self, kind: str, at: tuple[float, float, float], watt: float, target: tuple[float, float, float] = (0, 0, 0),
        size: tuple[float, float] = (300, 300), colour: tuple[float, float, float] = (1, 1, 1), cone: float = 80
    ) -> None:  # fmt: skip
        """A lamp: AREA of a size in mm, or SPOT with a cone in degrees and a bulb of size[0] mm."""
        light = bpy.data.lights.new("lamp", kind)
        light.energy, light.color = watt, colour
        made = self.add(bpy.data.objects.new("lamp", light))
        made.location = Vector(at) * MM
        made.rotation_euler = (Vector(target) - Vector(at)).to_track_quat("-Z", "Y").to_euler()
        if kind == "AREA":
            light.shape, light.size, light.size_y = "RECTANGLE", size[0] * MM, size[1] * MM
        else:
            light.spot_size, light.spot_blend, light.shadow_soft_size = math.radians(cone), 0.7, size[0] * MM

    def sky(self, colour: tuple[float, float, float], strength: float) -> None:
        """Light from all round."""
        node = self.world.node_tree.nodes["Background"]
        node.inputs[0].default_value, node.inputs[1].default_value = (*colour, 1), strength

    def _settings(self, samples: int, threads: int) -> None:
        r, c = self.scene.render, self.scene.cycles
        r.engine, c.device = "CYCLES", "CPU"
        r.threads_mode, r.threads = "FIXED", threads
        wide, high = round(self.pixels * OVERSCAN), round(self.pixels * 0.75 * OVERSCAN)
        r.resolution_x, r.resolution_y = (high, wide) if self.tall else (wide, high)
        c.samples, c.seed, c.use_adaptive_sampling = samples, self.seed, False
        c.max_bounces, c.diffuse_bounces, c.glossy_bounces, c.transparent_max_bounces = 4, 2, 2, 8
        c.caustics_reflective = c.caustics_refractive = False
        c.use_denoising, c.denoiser, c.sample_clamp_indirect = samples > 1, "OPENIMAGEDENOISE", 4.0
        self.scene.view_settings.view_transform = "Raw"
        r.image_settings.file_format, r.image_settings.color_depth = "OPEN_EXR", "32"

    def _shot(self) -> np.ndarray:
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "shot.exr"
            self.scene.render.filepath = str(path)
            bpy.ops.render.render(write_still=True)
            image = bpy.data.images.load(str(path))
            wide, high = image.size
            flat = np.empty(wide * high * 4, np.float32)
            image.pixels.foreach_get(flat)
            bpy.data.images.remove(image)
        return flat.reshape(high, wide, 4)[::-1, :, :3].copy()

    def light(self, samples: int = 24, threads: int = 1) -> np.ndarray:
        """Render linear light (height, width, 3)."""
        self._settings(samples, threads)
        return self._shot()

    def labels(self, threads: int = 1) -> np.ndarray:
        """Render the truth: label + 10 on the main panel, and u, v there in mm. After this the colours are gone."""
        self._settings(1, threads)
        self.scene.cycles.pixel_filter_type, self.scene.cycles.filter_width = "BOX", 0.01
        self.scene.camera.data.dof.use_dof = False
        self.sky((0, 0, 0), 0)
        nothing = truth_material("nothing", None, False)
        for thing in self.scene.objects:
            if thing.type in {"MESH", "CURVE"}:
                s, main = self.truth.get(thing.name, (None, False))
                thing.data.materials.clear()
                thing.data.materials.append(truth_material(thing.name, s, main) if s else nothing)
            elif thing.type == "LIGHT":
                thing.hide_render = True
        return self._shot()


__all__ = ["MM", "OVERSCAN", "Stage", "plain"]
