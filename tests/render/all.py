"""Render every picture of both albums, seeded. What is rendered already is kept, so it can go on after a break.

python tests/render/all.py --into build/render                 # all: renders, photographs, truth
python tests/render/all.py --into build/render pickup/bench    # one scene anew
python tests/render/all.py --into build/render --finish        # photographs and truth from the renders that are there
python tests/render/all.py --into build/render --put pickup    # when all are there: into the sample and the tests
python tests/render/all.py --into build/render --labels pickup/bench   # the truth anew beside the light that is there
"""

from __future__ import annotations

import argparse
import json
import sys
import time
import zlib
from pathlib import Path
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from render import finish
from render.album import CARS
from render.phone import Take
from render.scenes import scene


def staged(what: str, pixels: int) -> Any:
    """Build `car/scene`."""
    from render.stage import Stage

    car, name = what.split("/")
    stage = Stage(pixels, min(1.0, 1.2 * pixels / 1600), CARS[car][0], car)
    stage.along = zlib.crc32(name.encode()) % 2000
    scene(name)(stage)
    return stage


def keep(path: Path, light: np.ndarray, labels: np.ndarray) -> None:
    """Write light and truth; a file that is there is whole."""
    part = path.with_suffix(".part.npz")
    np.savez_compressed(part, light=light, truth=labels)
    part.replace(path)


def relabel(what: str, path: Path, pixels: int, threads: int) -> None:
    """Render the truth anew beside the light that is there; only while the scene is as it was when it was lit."""
    with np.load(path) as kept:
        light = kept["light"]
    keep(path, light, staged(what, pixels).labels(threads))


def render(what: str, path: Path, pixels: int, samples: int, threads: int) -> None:
    """Render the light and the truth of `car/scene`, and keep what is known of its camera beside them."""
    stage = staged(what, pixels)
    light = stage.light(samples, threads)
    labels = stage.labels(threads)
    path.with_suffix(".json").write_text(json.dumps({**stage.about, "samples": samples}), encoding="utf-8")
    keep(path, np.clip(light, 0, 6e4).astype(np.float16), labels)


def asked() -> argparse.Namespace:
    """What the command line says."""
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("scenes", nargs="*", help="car/scene: these anew; none: all that are missing")
    ask.add_argument("--into", type=Path, default=Path("build/render"))
    ask.add_argument("--pixels", type=int, default=1600)
    ask.add_argument("--samples", type=int, default=14)
    ask.add_argument("--threads", type=int, default=2)
    ask.add_argument("--finish", action="store_true", help="render nothing")
    ask.add_argument("--labels", action="store_true", help="render the truth alone; of the scenes named, or of all")
    ask.add_argument("--put", action="append", choices=[*CARS], help="render nothing; a car's files into its sample")
    return ask.parse_args()


def wanted(want: argparse.Namespace, raw: Path) -> list[str]:
    """What is to be rendered, as `car/scene`."""
    every = sorted({f"{car}/{shot.scene}" for car, (_, album) in CARS.items() for shot in album})
    there = [what for what in every if (raw / f"{what}.npz").exists()]
    if want.finish or want.put:
        return []
    if want.labels:
        return want.scenes or there
    return want.scenes or [what for what in every if what not in there]


def main() -> None:
    want = asked()
    raw = want.into / f"raw{want.pixels}"
    todo = wanted(want, raw)
    for k, what in enumerate(todo):
        begun, path = time.monotonic(), raw / f"{what}.npz"
        path.parent.mkdir(parents=True, exist_ok=True)
        if want.labels:
            relabel(what, path, want.pixels, want.threads)
        else:
            render(what, path, want.pixels, want.samples, want.threads)
            finish.picture(path, Take(), want.pixels).save(path.with_suffix(".png"))
        print(f"{k + 1}/{len(todo)} {what}: {time.monotonic() - begun:.0f} s", flush=True)
    for car in want.put or []:
        finish.put(car, raw / car, want.pixels)
    if want.finish or not (want.scenes or want.labels or want.put):
        for car in CARS:
            finish.write(car, raw / car, want.into / car / "photos", want.into / car / "truth", want.pixels)


if __name__ == "__main__":
    main()
