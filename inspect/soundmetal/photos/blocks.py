"""Memory of pictures is kept while many are worked on: fresh pages from the system cost a tenth of the time."""

from __future__ import annotations

from contextlib import ExitStack
from typing import Final

from PIL.Image import core  # type: ignore[attr-defined]  # Pillow describes it under "block allocator"

from soundmetal.photos.process_wide import ProcessWide

#: Pictures lie in blocks of this size, all alike, so that each fits where another was (Pillow's own: 16 MiB).
BLOCK_BYTES: Final = 512 * 1024
#: So many free ones are kept, 48 MiB: two photographs of 12 megapixels at half size with all that is made of them.
KEPT: Final = 96


class _Kept(ProcessWide):
    """Free blocks are kept while at least one thread works on pictures, and given back after the last.

    Pillow holds these numbers for the whole process, so whoever comes first sets them and whoever leaves last puts
    them back. A number that the environment has set higher stays.
    """

    def set(self, undo: ExitStack) -> None:
        undo.callback(core.set_block_size, core.get_block_size())
        undo.callback(core.set_blocks_max, core.get_blocks_max())
        core.set_block_size(BLOCK_BYTES)
        core.set_blocks_max(max(KEPT, core.get_blocks_max()))


#: Hold this while many pictures are made one after the other.
kept: Final = _Kept()
