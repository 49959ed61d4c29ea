"""Run Soundmetal from a checkout: `python inspect report FOLDER`.

Python puts this folder first on the module path when it is told to run it, so `soundmetal` is found beside this file.
The folder itself must never become a package: it would hide the standard library's `inspect`.
"""

from __future__ import annotations

import sys
from pathlib import Path

HERE = str(Path(__file__).resolve().parent)
if HERE not in sys.path:
    sys.path.insert(0, HERE)

from soundmetal.cli import main  # noqa: E402  (the path has to be set first)

if __name__ == "__main__":
    main()
