"""Render every picture of both albums, seeded. What is rendered already is kept, so it can go on after a break.

python tests/render/all.py --into build/render                 # all: renders, photographs, truth
python tests/render/all.py --into build/render pickup/bench    # one scene anew
python tests/render/all.py --into build/render --finish        # photographs and truth from the renders that are there
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from render import finish
from render.album import CARS
from render.phone import Take
from render.scenes import scene


def render(what: str, path: Path, pixels: int, samples: int, threads: int) -> None:
    """Render the light and the truth of `car/scene`, and keep what is known of its camera beside them."""
    from render.stage import Stage

    car, name = what.split("/")
    stage = Stage(pixels, min(1.0, 1.2 * pixels / 1600), CARS[car][0], car)
    scene(name)(stage)
    light = stage.light(samples, threads)
    part = path.with_suffix(".part.npz")
    np.savez_compressed(part, light=np.clip(light, 0, 6e4).astype(np.float16), truth=stage.labels(threads))
    path.with_suffix(".json").write_text(json.dumps({**stage.about, "samples": samples}), encoding="utf-8")
    part.replace(path)


def asked() -> argparse.Namespace:
    """What the command line says."""
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("scenes", nargs="*", help="car/scene: these anew; none: all that are missing")
    ask.add_argument("--into", type=Path, default=Path("build/render"))
    ask.add_argument("--pixels", type=int, default=1600)
    ask.add_argument("--samples", type=int, default=14)
    ask.add_argument("--threads", type=int, default=2)
    ask.add_argument("--finish", action="store_true", help="render nothing")
    return ask.parse_args()


def main() -> None:
    want = asked()
    raw = want.into / f"raw{want.pixels}"
    every = sorted({f"{car}/{shot.scene}" for car, (_, album) in CARS.items() for shot in album})
    todo = want.scenes or [what for what in every if not (raw / f"{what}.npz").exists()]
    for k, what in enumerate([] if want.finish else todo):
        begun, path = time.monotonic(), raw / f"{what}.npz"
        path.parent.mkdir(parents=True, exist_ok=True)
        render(what, path, want.pixels, want.samples, want.threads)
        finish.picture(path, Take(), want.pixels).save(path.with_suffix(".png"))
        print(f"{k + 1}/{len(todo)} {what}: {time.monotonic() - begun:.0f} s", flush=True)
    if want.finish or not want.scenes:
        for car in CARS:
            finish.write(car, raw / car, want.into / car, want.pixels)


if __name__ == "__main__":
    main()
