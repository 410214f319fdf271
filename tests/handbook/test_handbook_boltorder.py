from __future__ import annotations

import itertools

import pytest

from gcodegen.handbook.boltorder import cross_order, order_in_words


@pytest.mark.outside("common practice, no source")
@pytest.mark.parametrize(
    ("count", "told"),
    [
        (1, "in turn, 1"),
        (2, "in turn, 1-2"),
        (3, "in turn, 1-2-3"),
        (4, "in a cross, 1-3-2-4"),
        (5, "in a cross, 1-3-5-2-4"),
        (6, "in a cross, 1-4-2-5-3-6"),
    ],
)
def test_few_bolts_go_round_and_more_go_across(count: int, told: str) -> None:
    assert order_in_words(count) == told


@pytest.mark.outside("from memory of ASME PCC-1, its cross pattern for 4 to 24 bolts numbered round the circle")
@pytest.mark.parametrize(
    ("count", "order"),
    [
        (4, (1, 3, 2, 4)),
        (8, (1, 5, 3, 7, 2, 6, 4, 8)),
        (12, (1, 7, 4, 10, 2, 8, 5, 11, 3, 9, 6, 12)),
        (16, (1, 9, 5, 13, 3, 11, 7, 15, 2, 10, 6, 14, 4, 12, 8, 16)),
        (20, (1, 11, 6, 16, 3, 13, 8, 18, 5, 15, 10, 20, 2, 12, 7, 17, 4, 14, 9, 19)),
        (24, (1, 13, 7, 19, 4, 16, 10, 22, 2, 14, 8, 20, 5, 17, 11, 23, 3, 15, 9, 21, 6, 18, 12, 24)),
    ],
)
def test_bolts_by_fours_go_round_as_the_published_pattern_has_it(count: int, order: tuple[int, ...]) -> None:
    assert cross_order(count) == order


@pytest.mark.outside("brute force: every bolt once, and no neighbour follows another from four on")
@pytest.mark.parametrize("count", range(1, 33))
def test_every_bolt_comes_once_and_none_beside_the_one_before(count: int) -> None:
    order = cross_order(count)
    assert sorted(order) == list(range(1, count + 1))
    if count > 4:
        assert all((b - a) % count not in (1, count - 1) for a, b in itertools.pairwise(order))
    if count > 3 and count % 2 == 0:
        assert all((b - a) % count == count // 2 for a, b in zip(order[::2], order[1::2], strict=True))
