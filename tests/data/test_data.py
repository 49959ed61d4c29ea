"""The data files mean the same to two readers of YAML that share no code: libyaml with our words, and ruamel."""

from __future__ import annotations

import pytest
from ruamel.yaml import YAML

from soundmetal.data import DATA, read_yaml
from soundmetal.errors import SettingsError

FILES = sorted(
    path.relative_to(DATA).as_posix() for path in DATA.rglob("*.yaml") if "start" not in path.relative_to(DATA).parts
)


@pytest.mark.parametrize("name", FILES)
def test_both_readers_agree_and_no_key_stands_twice(name: str) -> None:
    other = YAML(typ="safe", pure=True).load((DATA / name).read_text(encoding="utf-8"))
    assert read_yaml(name) == other
    assert repr(read_yaml(name)) == repr(other)


def test_there_are_files_and_a_missing_one_is_told() -> None:
    assert len(FILES) > 20
    with pytest.raises(SettingsError, match=r"nowhere\.yaml: cannot read"):
        read_yaml("nowhere.yaml")
