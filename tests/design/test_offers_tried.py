"""Each offer from designs made by hand: what is tried, in which order, and what is written."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

import pytest

from gcodegen.design import Design
from gcodegen.design.offers import _most_that_passes, offers
from gcodegen.design.result import Offer, Write
from gcodegen.job import Job
from gcodegen.verdict import Decision, Verdict
from tests.design.jobs import GONE, job, shipped

BOLTS = "backplate.bolts"
Passes = Callable[[Job], bool]


def said(id_: str, verdict: Verdict) -> Decision:
    return replace(shipped("chuck-160").decisions[0], id=id_, verdict=verdict)


def decided(passes: Passes, stop: str = "least-wall", wall: float = 3.0, screw: str = "M6") -> Callable[[Job], Design]:
    """Return a design that is stopped by one check wherever a job does not pass; what it chooses is chuck-160's."""
    base = shipped("chuck-160")

    def decide(wish: Job) -> Design:
        chosen = {
            key: value
            for key, value in base.job.adjustment
            if key in ("screw", "setback", "relief", "spigot_length", "screw_length")
            and getattr(wish.adjustment, key) is None
        }
        settled = wish.model_copy(update={"adjustment": wish.adjustment.model_copy(update=chosen)})
        decision = said("fine", Verdict.GOOD) if passes(wish) else said(stop, Verdict.STOP)
        layout = replace(base.layout, least_wall=wall)
        return replace(base, job=settled, decisions=(decision,), layout=layout)

    return decide


def found(
    changes: Mapping[str, object], passes: Passes, stop: str = "least-wall", wall: float = 3.0
) -> dict[str, Offer]:
    return {offer.what: offer for offer in offers(job(changes), decided(passes, stop, wall))}


def lines(offer: Offer) -> dict[str, object]:
    return {write.key.rpartition(".")[2]: write.value for write in offer.write}


def test_nothing_is_offered_where_nothing_passes() -> None:
    assert offers(job(), decided(lambda wish: False)) == ()
    assert offers(job({"adjustment.screw": "M5"}), decided(lambda wish: False)) == ()


@pytest.mark.outside("brute force: thousandths of a millimetre between the two ends")
@pytest.mark.parametrize("most", [0.2, 0.4321, 0.9, 1.0])
def test_the_most_that_passes_is_closed_in_on_from_below(most: float) -> None:
    def writes(travel: float) -> tuple[Write, ...]:
        return (Write(key="adjustment.travel", value=travel),)

    decide = decided(lambda wish: (wish.adjustment.travel or 0.0) <= most)
    best = _most_that_passes(job(), 0.0, 1.0, writes, decide)
    assert best is not None
    (write,) = best
    assert isinstance(write.value, float)
    assert most - 1 / 2**7 - 0.011 <= write.value <= most
    assert write.value == round(write.value, 2)
    assert _most_that_passes(job(), most + 0.02, 1.5, writes, decide) is None
    assert (
        _most_that_passes(job(), 0.0, 1.0, lambda _: (Write(key=f"{BOLTS}.hole_diameter", value=9.0),), decide) is None
    )


def test_choices_that_are_given_are_freed_one_by_one_and_then_two_at_a_time() -> None:
    given = {"adjustment.screw": "M8", "adjustment.setback": 7.0, "adjustment.relief": 1.5}

    def one(wish: Job) -> bool:
        return wish.adjustment.screw != "M8"

    def two(wish: Job) -> bool:
        return wish.adjustment.screw != "M8" and wish.adjustment.setback != 7.0

    single = found(given, one)
    assert lines(single["another screw"]) == {"screw": "M6"}
    assert "another setback" not in single
    double = found(given, two)
    assert next(iter(double)) == "another setback and another screw"
    assert lines(double["another setback and another screw"]) == {"setback": 5.7, "screw": "M6"}
    assert single["another screw"].screw == "M6 x 16"
    assert single["another screw"].least_wall == 3.0


def test_all_choices_are_freed_as_well_where_that_gives_another_screw() -> None:
    base = decided(lambda wish: wish.adjustment.setback != 7.0)

    def larger(wish: Job) -> Design:
        design = base(wish)
        free = wish.adjustment.relief != 1.5
        return replace(design, screw=replace(design.screw, length=20.0)) if free else design

    wish = job({"adjustment.setback": 7.0, "adjustment.relief": 1.5})
    kinds = {o.what: o.screw for o in offers(wish, larger)}
    assert kinds == {"another setback": "M6 x 16", "another setback and another relief": "M6 x 20"}
    assert [o.what for o in offers(wish, base)] == ["another setback"]
    only = job({"adjustment.setback": 7.0})
    assert [o.what for o in offers(only, larger)] == ["another setback"]


def test_angles_are_written_as_one_where_they_are_even_and_as_four_where_not() -> None:
    given = {"adjustment.angles": [1, 91, 181, 275], "adjustment.spacing_tolerance_deg": 5}

    def passes(wish: Job) -> bool:
        return wish.adjustment.screw_angles is None or wish.adjustment.screw_angles[0] != 1

    assert lines(found(given, passes)["other angles"]) == {"first_angle": 15.0, "angles": "choose"}
    base = decided(passes)

    def uneven(wish: Job) -> Design:
        design = base(wish)
        return replace(design, layout=replace(design.layout, angles=(15.0, 105.0, 195.0, 287.0)))

    offer = next(o for o in offers(job(given), uneven) if o.what == "other angles")
    assert lines(offer) == {"first_angle": "choose", "angles": (15.0, 105.0, 195.0, 287.0)}


def test_an_offer_that_needs_the_choices_free_says_both() -> None:
    def passes(wish: Job) -> bool:
        return wish.adjustment.screw != "M8" and not (wish.chuck.cover and wish.chuck.cover.remaining)

    given = {"adjustment.screw": "M8", "chuck.cover.plan": "kept", "chuck.recess_depth": 12}
    offer = found(given, passes)["the cover left out, with another screw"]
    assert lines(offer) == {"plan": "left out", "screw": "M6"}


COVER = {"chuck.cover.plan": "kept", "chuck.cover.thickness": 4.0, "chuck.recess_depth": 12}


def left(wish: Job) -> float:
    return wish.chuck.cover.remaining if wish.chuck.cover else 0.0


def test_a_cover_is_thinned_to_a_quarter_at_least_and_else_left_out() -> None:
    some = found(COVER, lambda wish: left(wish) <= 2.5)
    assert list(some)[:2] == ["a thinner cover", "the cover left out"]
    assert lines(some["a thinner cover"])["plan"] == "thinned"
    after = lines(some["a thinner cover"])["thickness_after"]
    assert isinstance(after, float)
    assert 2.4 < after <= 2.5
    assert "a thinner cover" in found(COVER, lambda wish: left(wish) <= 1.0)
    little = found(COVER, lambda wish: left(wish) <= 0.98)
    assert "a thinner cover" not in little
    assert lines(little["the cover left out"]) == {"plan": "left out"}
    thinned = {**COVER, "chuck.cover.plan": "thinned", "chuck.cover.thickness_after": 1.0}
    gone = found(thinned, lambda wish: left(wish) == 0)
    assert "a thinner cover" not in gone  # it is at a quarter already
    assert lines(gone["the cover left out"]) == {"plan": "left out", "thickness_after": None}
    for without in ({"chuck.cover": GONE}, {"chuck.cover.plan": "left out"}):
        assert not {"a thinner cover", "the cover left out"} & set(found(without, lambda wish: True))


def test_the_least_tolerance_of_spacing_that_does_is_offered() -> None:
    def needs(tolerance: float) -> Passes:
        return lambda wish: wish.adjustment.spacing_tolerance_deg >= tolerance

    for needed, told in (
        (0.5, 1.0),
        (1.0, 1.0),
        (1.01, 2.0),
        (2.5, 3.0),
        (4.0, 5.0),
        (6.0, 8.0),
        (9.0, 12.0),
        (13.0, 16.0),
        (20.0, 20.0),
    ):
        assert lines(found({}, needs(needed))["uneven spacing"]) == {"spacing_tolerance_deg": told}
    at_five = found({"adjustment.spacing_tolerance_deg": 5}, lambda wish: wish.adjustment.spacing_tolerance_deg != 5)
    assert lines(at_five["uneven spacing"]) == {"spacing_tolerance_deg": 8.0}
    assert "uneven spacing" not in found({"adjustment.first_angle": 10}, lambda wish: True)


@pytest.mark.outside("common practice, no source: bolt holes of up to 1.3 times the bolt; bolts in steps of 5 mm")
def test_bolt_holes_are_opened_no_more_than_is_needed_and_no_wider_than_their_heads_cover() -> None:
    def hole(least: float) -> Passes:
        return lambda wish: wish.backplate.bolts.hole_diameter >= least

    offer = found({}, hole(12.0))["wider bolt holes in the plate"]
    opened = lines(offer)["hole_diameter"]
    assert isinstance(opened, float)
    assert 12.0 <= opened <= 12.03
    assert found({}, hole(13.0))["wider bolt holes in the plate"].write[0].value == 13.0
    assert "wider bolt holes in the plate" not in found({}, hole(13.01))
    assert "wider bolt holes in the plate" not in found({f"{BOLTS}.hole_diameter": 13.0}, lambda w: hole(13)(w))


def length(*fits: float) -> Passes:
    return lambda wish: wish.backplate.bolts.length in fits


@pytest.mark.parametrize("check", ["bolt-engagement", "bolt-thread", "bolt-reach"])
def test_bolts_are_offered_in_steps_longer_first_where_bolts_are_at_fault(check: str) -> None:
    deep = {f"{BOLTS}.thread_depth": 40, "chuck.feature": GONE}
    assert lines(found(deep, length(25, 35), check)["longer bolts"]) == {"length": 35.0}
    assert lines(found(deep, length(20, 25), check)["shorter bolts"]) == {"length": 25.0}
    assert lines(found(deep, length(50), check)["longer bolts"]) == {"length": 50.0}
    assert not {"longer bolts", "shorter bolts"} & set(found(deep, length(55, 31), check))


@pytest.mark.outside("common practice, no source: bolts in steps of a quarter of an inch")
def test_inch_bolts_are_offered_in_quarters_of_an_inch() -> None:
    wish = job({f"{BOLTS}.thread_depth": 1.4}, "chuck-6-hole-inch")
    base = decided(lambda new: new.backplate.bolts.length > 1.3 * 25.4, "bolt-engagement")
    assert {o.what: o.write[0].value for o in offers(wish, base)}["longer bolts"] == 1.5


def test_bolts_are_left_alone_where_they_are_not_at_fault() -> None:
    assert "shorter bolts" not in found({f"{BOLTS}.thread_depth": 40}, length(25))  # the bolts are not at fault
    assert "shorter bolts" in found({f"{BOLTS}.thread_depth": 16}, length(25))  # they keep the spigot short


def test_less_relief_is_offered_where_the_spigots_wall_is_short() -> None:
    def relief(most: float) -> Passes:
        return lambda wish: wish.adjustment.relief is not None and wish.adjustment.relief <= most

    offer = found({}, relief(0.8), "spigot-wall")["less relief off the spigot"]
    least = 2 * 0.345 - 0.03  # the float needed all round, less the old gap
    told = lines(offer)["relief"]
    assert isinstance(told, float)
    assert 0.78 <= told <= 0.8
    assert "less relief off the spigot" in found({}, relief(least + 0.0201), "spigot-wall")
    assert "less relief off the spigot" not in found({}, relief(least), "spigot-wall")
    assert "less relief off the spigot" not in found({}, relief(0.8))
    assert "less relief off the spigot" not in found(
        {"adjustment.relief": 2.0}, lambda w: w.adjustment.relief != 2, "spigot-wall"
    )


def test_a_smaller_wish_for_travel_is_offered_where_there_is_one() -> None:
    def travel(most: float) -> Passes:
        return lambda wish: (wish.adjustment.travel or 0.0) <= most

    told = lines(found({}, travel(0.2))["a smaller wish for travel"])["travel"]
    assert isinstance(told, float)
    assert 0.19 <= told <= 0.2
    assert lines(found({}, travel(0.0))["a smaller wish for travel"]) == {"travel": 0.0}
    assert "a smaller wish for travel" not in found({"adjustment.travel": 0.0}, travel(0.5))


def test_a_smaller_wish_for_the_wall_is_that_which_was_found_and_never_below_the_least() -> None:
    def wall(most: float) -> Passes:
        return lambda wish: wish.adjustment.least_wall <= most

    what, larger = "a smaller wish for the least wall", "a still smaller wish for the least wall, and a larger screw"
    assert lines(found({}, wall(1.678), wall=1.678)[what]) == {"least_wall": 1.67}
    wide = {"adjustment.least_wall": 8.0}
    assert lines(found(wide, wall(5.678), wall=5.678)[what]) == {"least_wall": 5.67}
    halved = lines(found({}, wall(1.678), wall=3.0)[what])["least_wall"]  # more wall than is wished for does not count
    assert isinstance(halved, float)
    assert 1.66 <= halved <= 1.678
    assert "least_wall" in lines(found({}, wall(1.03), wall=1.03)[what])
    lowest = found({}, wall(1.0), wall=1.0)
    assert what not in lowest
    assert lines(lowest[larger]) == {"least_wall": 1.0}
    assert larger not in found({}, wall(1.0), wall=2.0)  # that is the wall wished for
    assert not {what, larger} & set(found({"adjustment.least_wall": 1.0}, lambda wish: wish.adjustment.least_wall < 1))


def test_the_same_lines_are_offered_once() -> None:
    start = job()
    writes = [offer.write for offer in offers(start, decided(lambda wish: wish is not start, wall=1.5))]
    assert len(writes) == len(set(writes)) >= 4
