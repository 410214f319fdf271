from __future__ import annotations

import pytest

from gcodegen.handbook.boltorder import order_in_words


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
