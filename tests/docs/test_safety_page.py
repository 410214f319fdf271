"""The cautions stand in the docs word for word as the program says them."""

from __future__ import annotations

import pytest

from gcodegen.cautions import OffBalance, cautions
from tests.docs.pages import ROOT


def words(page: str) -> str:
    return " ".join((ROOT / page).read_text(encoding="utf-8").replace("**", "").split())


LOWER = OffBalance(rpm=1336, grade="G6.3", shift="0.045 mm")


@pytest.mark.parametrize(("limit", "off"), [(None, None), (2500, None), (2500, LOWER)])
def test_the_safety_page_has_each_caution(limit: float | None, off: OffBalance | None) -> None:
    page = words("docs/safety.md")
    missing = [caution.id for caution in cautions(limit, off) if caution.long not in page]
    assert missing == []


def test_the_readme_has_them_before_all_else() -> None:
    page = words("README.md")
    speed, *others = cautions(None)
    missing = [caution.id for caution in others if caution.long not in page]
    assert missing == []
    assert speed.long.startswith("A modified chuck that bursts or throws a part can kill. ")
    assert "A modified chuck that bursts or throws a part can kill. Never run it above the speed marked on" in page
    assert page.index("Cautions first") < page.index("A walk through")
