"""Run Soundmetal where it is installed: `python -m soundmetal report FOLDER`."""

from __future__ import annotations

from soundmetal.cli import main

if __name__ == "__main__":
    main()
