"""Render every picture of the album, seeded. What is rendered already is kept, so it can go on after a break.

python tests/render/all.py --into build/render             # all: renders, photographs, truth
python tests/render/all.py --into build/render bench       # one scene anew
python tests/render/all.py --into build/render --finish    # photographs and truth from the renders that are there
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
from render.phone import Take
from render.scenes import WHERE, scene


def render(name: str, path: Path, pixels: int, samples: int, threads: int) -> None:
    """Render one scene's light and truth, and what is known of its camera, beside each other."""
    from render.stage import Stage

    stage = Stage(pixels, min(1.0, 1.2 * pixels / 1600), seed=1)
    scene(name)(stage)
    light = stage.light(samples, threads)
    part = path.with_suffix(".part.npz")
    np.savez_compressed(part, light=np.clip(light, 0, 6e4).astype(np.float16), truth=stage.labels(threads))
    path.with_suffix(".json").write_text(json.dumps({**stage.about, "samples": samples}), encoding="utf-8")
    part.replace(path)


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("scenes", nargs="*", help="these anew; none: all that are missing")
    ask.add_argument("--into", type=Path, default=Path("build/render"))
    ask.add_argument("--pixels", type=int, default=1600)
    ask.add_argument("--samples", type=int, default=28)
    ask.add_argument("--threads", type=int, default=2)
    ask.add_argument("--finish", action="store_true", help="render nothing")
    want = ask.parse_args()
    raw = want.into / f"raw{want.pixels}"
    raw.mkdir(parents=True, exist_ok=True)
    todo = want.scenes or [name for name in WHERE if not (raw / f"{name}.npz").exists()]
    for k, name in enumerate([] if want.finish else todo):
        begun = time.monotonic()
        render(name, raw / f"{name}.npz", want.pixels, want.samples, want.threads)
        finish.picture(raw / f"{name}.npz", Take(), want.pixels).save(raw / f"{name}.png")
        print(f"{k + 1}/{len(todo)} {name}: {time.monotonic() - begun:.0f} s", flush=True)
    if want.finish or not want.scenes:
        finish.write(raw, want.into, want.pixels)


if __name__ == "__main__":
    main()
