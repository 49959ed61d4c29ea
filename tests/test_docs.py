"""What the documents promise exists, and what exists is documented: commands, options, exit codes, scripts, links.

Read are README.md, DEVELOPERS.md and docs/*.md. A command counts where it stands in code, in a fenced block (one a
line) or between backticks, written `soundmetal WORD ...` or `python inspect WORD ...`. The exit codes stand in one
table under a heading that says "Exit codes", with the number in the first column.
"""

from __future__ import annotations

import re
import shlex
from pathlib import Path
from typing import Any

import pytest
import typer

from soundmetal.cli import app
from soundmetal.errors import Exit

pytestmark = pytest.mark.checkout

ROOT = Path(__file__).resolve().parents[1]
BOOKS = sorted([*ROOT.glob("*.md"), *ROOT.glob("docs/**/*.md")])
USER_BOOKS = [book for book in BOOKS if book.name != "DEVELOPERS.md"]

FENCED = re.compile(r"^ *(```+|~~~+)[^\n]*\n(.*?)^ *\1", re.MULTILINE | re.DOTALL)
INLINE = re.compile(r"(?<!`)`([^`\n]+)`(?!`)")
COMMAND = re.compile(r"(?:^|[\s$(])(?:soundmetal|python3? (?:-m soundmetal|inspect))(?= |$)(.*)")
SCRIPT = re.compile(r"\./run(?: ([a-z]+))?")
LINK = re.compile(r"\]\(([^)\s#]+)[^)]*\)")
HEADING = re.compile(r"^#+ (.*)$", re.MULTILINE)

#: A document to try the reading on, so that a broken pattern cannot pass for nothing.
MADE_UP = r"""
Run `soundmetal report cars/x --html`, not soundmetal prose.

```sh
$ python inspect nosuch a \
    --b  # why
./run sample
```

## Exit codes

| code | why |
|------|-----|
| 0    | all |
| `20` | one |

## Next

| 7 | no |
"""


def code(text: str) -> list[str]:
    """Give the lines of code in a document, those that a backslash continues joined."""
    blocks = [body.replace("\\\n", " ") for _fence, body in FENCED.findall(text)]
    return [*(line for block in blocks for line in block.splitlines()), *INLINE.findall(FENCED.sub("", text))]


def commands(text: str) -> list[list[str]]:
    """Give the words after `soundmetal` of each command line in a document."""
    found = [COMMAND.search(line) for line in code(text)]
    return [shlex.split(match[1].split(" | ")[0], comments=True) for match in found if match and match[1].strip()]


def exit_codes(text: str) -> list[int]:
    """Give the numbers in the first column of the table under "Exit codes"."""
    parts = HEADING.split(text)
    under = [body for title, body in zip(parts[1::2], parts[2::2], strict=True) if "exit codes" in title.lower()]
    return [int(number) for body in under for number in re.findall(r"^\| *`?(\d+)`? *\|", body, re.MULTILINE)]


def known_commands() -> dict[str, Any]:
    """Give name and command of all that the program lists in its help."""
    group: Any = typer.main.get_command(app)
    return {name: command for name, command in group.commands.items() if not command.hidden}


def options_of(command: Any) -> set[str]:
    """Give every spelling of every option that a command takes."""
    return {spelling for option in command.params for spelling in (*option.opts, *option.secondary_opts)} | {"--help"}


def wrong_words(words: list[str]) -> list[str]:
    """List what in a documented command line does not exist."""
    group: Any = typer.main.get_command(app)
    first = words[0]
    if first.startswith("-"):
        return [] if first in options_of(group) else [first]
    if first.isupper():
        return []
    if first not in known_commands():
        return [first]
    options = [word.partition("=")[0] for word in words[1:] if re.match(r"-{1,2}[a-z]", word)]
    return [f"{first} {option}" for option in options if option not in options_of(known_commands()[first])]


def text_of(books: list[Path]) -> str:
    return "\n\n".join(book.read_text(encoding="utf-8") for book in books)


def test_the_reader_of_documents_reads_them() -> None:
    assert commands(MADE_UP) == [["nosuch", "a", "--b"], ["report", "cars/x", "--html"]]
    assert [wrong_words(words) for words in commands(MADE_UP)] == [["nosuch"], []]
    assert wrong_words(["report", "x", "--nosuch=1"]) == ["report --nosuch"]
    assert exit_codes(MADE_UP) == [0, 20]
    assert [match for line in code(MADE_UP) for match in SCRIPT.findall(line)] == ["sample"]


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md"])
def test_the_book_is_there(name: str) -> None:
    assert len((ROOT / name).read_text(encoding="utf-8")) > 500


def test_documented_commands_exist() -> None:
    found = commands(text_of(BOOKS))
    assert found
    assert [(words, wrong) for words in found if (wrong := wrong_words(words))] == []


def test_every_command_is_documented() -> None:
    assert known_commands().keys() - {words[0] for words in commands(text_of(USER_BOOKS))} == set()


def test_every_option_is_told_by_the_help_and_each_command_gives_an_example() -> None:
    for name, command in known_commands().items():
        silent = [option.name for option in command.params if not getattr(option, "help", "")]
        assert silent == [], name
        assert command.help, name
        assert f"soundmetal {name}" in (command.epilog or "") + command.help, name


def test_examples_in_the_help_exist() -> None:
    group: Any = typer.main.get_command(app)
    texts = [str(part or "") for item in (group, *known_commands().values()) for part in (item.help, item.epilog)]
    found = [words for text in texts for words in commands(text)]
    assert found
    assert [(words, wrong) for words in found if (wrong := wrong_words(words))] == []


def test_exit_codes_are_documented_and_exist() -> None:
    assert exit_codes(text_of(USER_BOOKS)) == sorted(Exit)


def test_words_of_the_run_script_exist_and_are_documented() -> None:
    script = (ROOT / "run").read_text(encoding="utf-8")
    known = set(re.findall(r"^ {2}([a-z]+) ", script[script.index("Usage:") : script.index("\nEOF")], re.MULTILINE))
    handled = set(re.findall(r"^([a-z]+)(?: \| [^)]*)?\)", script[script.index("case $word") :], re.MULTILINE))
    told = {word for line in code(text_of(BOOKS)) for word in SCRIPT.findall(line) if word}
    assert known == handled
    assert told <= known
    assert known - {"help"} <= told
    assert "./run test" in (ROOT / "README.md").read_text(encoding="utf-8")


def test_links_lead_somewhere() -> None:
    broken = [
        f"{book.name}: {target}"
        for book in BOOKS
        for target in LINK.findall(FENCED.sub("", book.read_text(encoding="utf-8")))
        if "://" not in target and not target.startswith("mailto:") and not (book.parent / target).exists()
    ]
    assert broken == []
