"""Examples of every command, as its help shows them; each option that a command has stands in one."""

from __future__ import annotations

from collections.abc import Mapping

EXAMPLES: Mapping[str, tuple[str, ...]] = {
    "start": (
        "start cars/drover --body pickup",
        "start cars/heron --body coupe --structure unibody --language es",
        "start cars/drover --from-pdf mail/report.pdf",
    ),
    "add": (
        "add cars/drover ~/phone/today",
        "add cars/drover letter.eml photos.zip",
        "add cars/drover one.jpg two.HEIC --zone rocker.left.outer",
        "add cars/drover letter.eml --from-owner",
        "add cars/drover ~/phone/today --json",
    ),
    "check": (
        "check cars/drover",
        "check cars/drover --rust",
        "check cars/drover --shots --language es",
        "check cars/drover --json",
    ),
    "place": (
        "place cars/drover",
        "place cars/drover --agree",
        "place cars/drover --json",
    ),
    "report": (
        "report cars/drover",
        "report cars/drover --language es --units metric",
        "report cars/drover --html --output to_send/drover.pdf",
        "report cars/drover --carry whole --output kept/drover.pdf",
        "report cars/drover --closing --language es",
        "report cars/drover --json",
    ),
    "scope": (
        "scope cars/drover",
        "scope cars/drover --language es --units metric",
        "scope cars/drover --html --output bench/drover.pdf",
        "scope cars/drover --cut cut/drover",
        "scope cars/drover --csv bench/drover.csv",
        "scope cars/drover --json",
    ),
    "send": (
        "send cars/drover",
        "send cars/drover --output to_send/drover.pdf --date 2026-11-20",
        "send cars/drover --json",
    ),
    "answers": (
        "answers cars/drover mail/report_filled.pdf",
        "answers cars/drover --yes F1 --yes F2 --no F3 --talk F4 --aim sound",
        "answers cars/drover mail/report_filled.pdf --date 2026-11-25 --json",
    ),
    "compare": (
        "compare cars/drover",
        "compare cars/drover 1 now",
        "compare cars/drover 1 2 --json",
        "compare cars/drover --output to_send/compared.pdf",
        "compare cars/drover --list",
    ),
    "yard": (
        "yard cars",
        "yard cars --stage away --stage back",
        'yard cars --find "packhorse rocker"',
        "yard cars --json",
    ),
    "progress": (
        "progress cars/drover metal",
        'progress cars/drover away --date 2026-12-03 --note "epoxy at the coater"',
        "progress cars/drover metal --again --json",
    ),
    "zones": (
        "zones",
        "zones pickup --language es",
        "zones sedan --structure unibody",
        "zones pickup --json",
    ),
    "explain": (
        "explain F3 cars/drover --language es",
        "explain G4 --json",
        "explain uk",
        "explain shop",
        "explain price cars/drover",
        "explain learning cars --output learned.yaml",
    ),
    "schema": (
        "schema record > inspection.schema.json",
        "schema shop > shop.schema.json",
    ),
    "undo": ("undo cars/drover",),
}


def examples(command: str) -> str:
    """Set the examples of one command for its help, in Markdown, one a line.

    >>> examples("undo")
    'Example:\\n\\n- `soundmetal undo cars/drover`'
    """
    lines = EXAMPLES[command]
    return "\n\n".join(("Examples:" if len(lines) > 1 else "Example:", *(f"- `soundmetal {line}`" for line in lines)))
