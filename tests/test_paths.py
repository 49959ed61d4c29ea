"""The templates are found from a wheel and from a checkout, and a missing folder is told in one line."""

from __future__ import annotations

from pathlib import Path

import pytest

from soundmetal import paths
from soundmetal.errors import Exit, SettingsError


def make(folder: Path) -> Path:
    """Make a folder that holds the known file."""
    (folder / paths.KNOWN_FILE).parent.mkdir(parents=True)
    (folder / paths.KNOWN_FILE).write_text("licence", encoding="utf-8")
    return folder


def test_the_real_folder_has_the_fonts_and_no_code() -> None:
    folder = paths.template_dir()
    assert folder.name == "templates"
    assert list((folder / "fonts").glob("*.woff2"))
    assert not list(folder.rglob("*.py"))


def test_the_folder_beside_the_package_comes_first(tmp_path: Path) -> None:
    beside, root = make(tmp_path / "package" / "templates"), make(tmp_path / "templates")
    assert paths.first_with(paths.KNOWN_FILE, (beside, root)) == beside


def test_another_folder_of_that_name_is_passed_over(tmp_path: Path) -> None:
    other = tmp_path / "package" / "templates"
    other.mkdir(parents=True)
    root = make(tmp_path / "templates")
    assert paths.first_with(paths.KNOWN_FILE, (other, root)) == root


def test_a_folder_named_like_the_known_file_is_not_it(tmp_path: Path) -> None:
    (tmp_path / paths.KNOWN_FILE).mkdir(parents=True)
    with pytest.raises(SettingsError):
        paths.first_with(paths.KNOWN_FILE, (tmp_path,))


def test_nowhere_is_an_error_that_names_every_place(tmp_path: Path) -> None:
    with pytest.raises(SettingsError) as caught:
        paths.first_with(paths.KNOWN_FILE, (tmp_path / "a", tmp_path / "b"))
    message = str(caught.value)
    assert str(tmp_path / "a") in message
    assert str(tmp_path / "b") in message
    assert "fonts/OFL.txt" in message
    assert "\n" not in message
    assert caught.value.exit_code is Exit.SETTINGS
