"""Memory of pictures that is kept between two of them."""

from __future__ import annotations

import threading

from PIL import Image
from PIL.Image import core

from soundmetal.photos import blocks


def numbers() -> tuple[int, int]:
    return core.get_block_size(), core.get_blocks_max()


def test_the_numbers_hold_inside_and_are_put_back_after_the_last() -> None:
    before = numbers()
    with blocks.kept:
        with blocks.kept:
            assert numbers() == (blocks.BLOCK_BYTES, blocks.KEPT)
        assert numbers() == (blocks.BLOCK_BYTES, blocks.KEPT)
    assert numbers() == before


def test_they_are_put_back_after_a_failure() -> None:
    before = numbers()
    try:
        with blocks.kept:
            raise ValueError
    except ValueError:
        assert numbers() == before


def test_memory_is_used_again_and_given_back() -> None:
    with blocks.kept:
        core.reset_stats()
        for _ in range(3):
            Image.new("RGB", (1600, 1200))
        inside = core.get_stats()
    after = core.get_stats()
    needed = -(-1600 * 1200 * 4 // blocks.BLOCK_BYTES)
    assert inside["reused_blocks"] >= 2 * (needed - 1)
    assert inside["blocks_cached"] >= needed - 1
    assert after["blocks_cached"] == 0
    assert after["freed_blocks"] > inside["freed_blocks"]


def test_more_that_somebody_else_wanted_stays() -> None:
    before = core.get_blocks_max()
    core.set_blocks_max(blocks.KEPT + 1)
    try:
        with blocks.kept:
            assert core.get_blocks_max() == blocks.KEPT + 1
    finally:
        core.set_blocks_max(before)


def test_many_threads_leave_the_numbers_as_they_were() -> None:
    before = numbers()

    def work() -> None:
        for _ in range(50):
            with blocks.kept:
                Image.new("RGB", (300, 200))

    threads = [threading.Thread(target=work) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert numbers() == before
