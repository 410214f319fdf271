"""The search along a screw's window with layouts made by hand, and what is told of screws that do not do."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

import pytest

from gcodegen.design import search as searching
from gcodegen.design.decide import at_least, stated
from gcodegen.design.geometry import Geometry, work_out
from gcodegen.design.layout import even_layout, uneven_layout
from gcodegen.design.obstacles import Obstacles, obstacles
from gcodegen.design.result import Layout
from gcodegen.design.search import FINEST, Found, _rejected, _shortfall, _Window, best_place, screw_decision, search
from gcodegen.handbook import SetScrew, set_screw
from gcodegen.job import Job
from gcodegen.verdict import Decision
from tests.design.jobs import GONE, job

M5 = set_screw("M5")
Lay = Callable[[Job, SetScrew, float, Obstacles], Layout]
PLAIN = {"chuck.feature": [], "adjustment.least_wall": 2.0}


def laid(passes: Callable[[float], bool], asked: list[float] | None = None) -> Lay:
    """Return layouts whose wall is enough at some setbacks."""

    def lay(wish: Job, row: SetScrew, setback: float, around: Obstacles) -> Layout:
        if asked is not None:
            asked.append(setback)
        wall = 2.0 if passes(setback) else 1.999
        return Layout(
            angles=(0, 90, 180, 270), setback=setback, least_wall=wall, feature="x", per_screw=(2, 2, 2, 2), curve=()
        )

    return lay


def along(**given: object) -> _Window:
    wish = job({**PLAIN, **{f"adjustment.{key}": value for key, value in given.items()}})
    return _Window(wish, M5, obstacles(wish))  # from 4.5 to 6.5 mm, begun at 5.5


@pytest.mark.outside("brute force: the nearest of the setbacks that pass, by hundredths of a millimetre")
@pytest.mark.parametrize(
    ("low", "high", "nearest"),
    [
        (4.5, 6.5, 5.5),
        (5.5, 5.5, 5.5),
        (5.8, 6.5, 5.8),
        (4.5, 5.1, 5.1),
        (6.5, 6.5, 6.5),
        (4.5, 4.5, 4.5),
        (6.13, 6.17, 6.15),
    ],
)
def test_the_nearest_place_that_passes_is_found(low: float, high: float, nearest: float) -> None:
    found = along().nearest_that_passes(laid(lambda at: low - 1e-9 <= at <= high + 1e-9))
    assert found is not None
    assert low - 1e-9 <= found.setback <= high + 1e-9
    assert found.setback == pytest.approx(nearest, abs=max(FINEST, 0.021))


def test_of_two_stretches_the_nearer_is_taken_and_a_round_figure_where_it_passes() -> None:
    both = along().nearest_that_passes(laid(lambda at: at <= 4.9 or at >= 5.7 - 1e-9))
    assert both is not None
    assert both.setback == pytest.approx(5.7, abs=FINEST)
    other = along().nearest_that_passes(laid(lambda at: at <= 5.2 or at >= 6.1))
    assert other is not None
    assert other.setback == pytest.approx(5.2, abs=FINEST)
    rounded = along().nearest_that_passes(laid(lambda at: at >= 5.74))
    assert rounded is not None
    assert rounded.setback == 5.75
    not_round = along().nearest_that_passes(laid(lambda at: 5.76 <= at <= 5.79))
    assert not_round is not None
    assert 5.76 <= not_round.setback <= 5.79


def test_where_nothing_passes_every_hundredth_was_asked_and_none_is_found() -> None:
    asked: list[float] = []
    assert along().nearest_that_passes(laid(lambda at: False, asked)) is None
    places = sorted(set(asked))
    assert (places[0], places[-1]) == (pytest.approx(4.5), pytest.approx(6.5))
    assert max(b - a for a, b in pairwise(places)) <= FINEST + 1e-9
    assert len(asked) < 600


def test_a_setback_that_is_given_is_the_only_one() -> None:
    asked: list[float] = []
    assert along(setback=5.0).nearest_that_passes(laid(lambda at: at != 5.0, asked)) is None
    assert asked == [5.0]


@pytest.mark.outside("closed form: a ring under the screw, depths along one line")
def test_what_a_ring_or_a_bolt_forbids_is_not_even_asked() -> None:
    ring = {
        "name": "ring",
        "kind": "ring",
        "inner_diameter": 60,
        "outer_diameter": 125,
        "from_depth": 9,
        "to_depth": 30,
    }
    wish = job({"chuck.feature": [ring], "adjustment.least_wall": 2.0})
    asked: list[float] = []
    found = _Window(wish, M5, obstacles(wish)).nearest_that_passes(laid(lambda at: True, asked))
    # 2.5 mm of screw and 2 of wall over the ring at 9: at most 4.5, which is the least of the window.
    assert found is not None
    assert found.setback == pytest.approx(4.5, abs=FINEST)
    assert max(asked) <= 4.5 + FINEST
    fixed = job({**PLAIN, "adjustment.first_angle": 0.0})  # right over a bolt
    assert _Window(fixed, M5, obstacles(fixed)).nearest_that_passes(laid(lambda at: True)) is None


def test_most_wall_is_that_of_the_middle_or_of_an_end() -> None:
    ring = {
        "name": "ring",
        "kind": "ring",
        "inner_diameter": 60,
        "outer_diameter": 118,
        "from_depth": 9,
        "to_depth": 30,
    }
    wish = job({"chuck.feature": [ring], "adjustment.least_wall": 6.0})
    window = _Window(wish, M5, obstacles(wish))
    assert window.most().setback == pytest.approx(4.5)  # farthest from the ring
    given = job({"chuck.feature": [ring], "adjustment.setback": 6.0})
    assert _Window(given, M5, obstacles(given)).most().setback == 6.0


def test_uneven_places_are_looked_for_only_where_the_job_allows_them() -> None:
    bolts = {"angles": [355, 37, 70, 110, 146, 172, 207, 258, 284, 319], "count": GONE, "angle": GONE}
    bolts |= {"thread": "M6", "hole_diameter": 8.0}
    wish = {**PLAIN, **{f"backplate.bolts.{key}": value for key, value in bolts.items()}}
    even = best_place(job(wish), M5, obstacles(job(wish)))
    assert even.stops == ()
    much = {**wish, "adjustment.least_wall": even.layout.least_wall + 0.5}
    stopped = best_place(job(much), M5, obstacles(job(much)))
    assert {d.id for d in stopped.stops} == {"least-wall"}
    assert stopped.layout.uneven_deg == 0
    allowed = {**much, "adjustment.spacing_tolerance_deg": 12}
    uneven = best_place(job(allowed), M5, obstacles(job(allowed)))
    assert uneven.stops == ()
    assert 0 < uneven.layout.uneven_deg <= 12
    window = _Window(job(allowed), M5, obstacles(job(allowed)))
    passing = window.nearest_that_passes(uneven_layout)
    assert passing is not None
    assert passing.least_wall >= even.layout.least_wall + 0.5
    assert window.nearest_that_passes(even_layout) is None
    little = {**wish, "adjustment.least_wall": even.layout.least_wall + 0.1, "adjustment.spacing_tolerance_deg": 0.9}
    slightly = best_place(job(little), M5, obstacles(job(little)))
    assert slightly.stops == ()
    assert 0 < slightly.layout.uneven_deg <= 0.9
    given = {**allowed, "adjustment.first_angle": 45}
    assert best_place(job(given), M5, obstacles(job(given))).layout.uneven_deg == 0
    too_much = {**allowed, "adjustment.least_wall": 17}
    most = best_place(job(too_much), M5, obstacles(job(too_much)))
    assert {d.id for d in most.stops} == {"least-wall"}
    assert most.layout.least_wall > even.layout.least_wall + 0.5


def geometry(*decisions: Decision, name: str = "M5") -> Geometry:
    wish, row = job(), set_screw(name)
    base = work_out(wish, row, even_layout(wish, row, 5.5, obstacles(wish)))
    return replace(base, decisions=decisions)


def short(id_: str, by: float, unit: str = "mm") -> Decision:
    return at_least(id_, f"what {id_} is", 2.0 - by, 2.0, unit, "why")


@pytest.mark.outside("definition: what is missing of all that stops, added up")
def test_what_is_short_is_added_up_and_the_worst_of_the_place_told() -> None:
    some = geometry(short("a", 0.5), short("b", -1.0), short("c", 0.25))
    assert _shortfall(some) == pytest.approx(0.75)
    told = _rejected(job(), M5, geometry(short("least-wall", 5.0), short("a", 0.5), short("b", 0.75), short("c", -1)))
    assert (told.thread, told.by, told.short, told.unit) == ("M5", "b", 0.75, "mm")
    assert told.reasons == (
        "what least-wall is -3.00 mm against 2.00 mm, short by 5.00 mm",
        "what a is 1.50 mm against 2.00 mm, short by 0.50 mm",
        "what b is 1.25 mm against 2.00 mm, short by 0.75 mm",
    )
    wall = _rejected(job(), M5, geometry(short("least-wall", 0.3), stated("x", "y", 1.0, "mm", "z")))
    assert (wall.by, wall.short) == ("least-wall", pytest.approx(0.3))
    assert _rejected(job(), M5, geometry(short("times", 0.5, "times"))).reasons == (
        "what times is 1.50 against 2.00, short by 0.50",
    )


def test_what_is_said_of_the_screw_taken_and_of_one_that_is_refused() -> None:
    good, refused = geometry(), geometry(short("a", 0.5))
    m8 = replace(_rejected(job(), set_screw("M8"), refused), thread="M8", short=1.5)
    m5 = _rejected(job(), M5, refused)
    first = screw_decision(job(), Found(good, ()))
    assert (first.value, first.verdict) == ("M5 x 16, flat point", "good")
    assert "Before it" not in first.why
    assert "Before it: M8: what a is 1.50 mm against" in screw_decision(job(), Found(good, (m8,))).why
    none = screw_decision(job(), Found(refused, (m8, m5)))
    assert none.verdict == "stop"
    assert "M5, the nearest of the shop's own sizes: what a is" in none.why
    assert none.why.endswith("each short of its worst check by: M8 1.50 mm")
    alone = screw_decision(job(), Found(refused, (m5,)))
    assert "All others" not in alone.why
    given = screw_decision(job({"adjustment.screw": "M5"}), Found(refused, (m5,)))
    assert (given.why, given.verdict) == ("as given; checked", "good")
    angle = replace(m8, unit="times")
    assert screw_decision(job(), Found(refused, (angle, m5))).why.endswith("by: M8 1.50 times")


def test_a_screw_that_is_given_is_the_only_one_tried() -> None:
    found = search(job({"adjustment.screw": "M8"}))
    assert found.geometry.screw.row.thread == "M8"
    assert [r.thread for r in found.rejected] == ["M8"]
    assert found.geometry.layout.curve
    passing = search(job({"adjustment.screw": "M5"}))
    assert (passing.rejected, passing.geometry.stops) == ((), ())
    assert passing.geometry.layout.curve


def test_where_none_passes_the_nearest_of_the_shops_own_system_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    missing = {"M10": 1.0, "M8": 0.5, "M6": 0.2, "M5": 0.4, "M4": 0.6, "M3": 0.7, "#8-32": 0.05}
    made: list[str] = []

    def best(wish: Job, row: SetScrew, around: Obstacles) -> Geometry:
        made.append(row.thread)
        return geometry(short("a", missing.get(row.thread, 3.0)), name=row.thread)

    monkeypatch.setattr(searching, "best_place", best)
    found = search(job())
    assert found.geometry.screw.row.thread == "M6"
    assert [r.thread for r in found.rejected] == made
    assert made[:6] == ["M10", "M8", "M6", "M5", "M4", "M3"]
    assert {*missing} <= {*made}
    inches = search(job(base="chuck-6-hole-inch"))
    assert inches.geometry.screw.row.thread == "#8-32"
