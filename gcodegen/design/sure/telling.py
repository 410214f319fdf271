"""What is said of how sure a decision is: its worst margin, its chance, and what to measure again."""

from __future__ import annotations

from dataclasses import replace

from gcodegen.design.decide import stated
from gcodegen.design.result import Design, HowSure
from gcodegen.job import Job
from gcodegen.verdict import Decision, Verdict, memory_of

TOUCH = 1e-9  # a margin this small is rounding, not metal
JCGM_101 = memory_of("JCGM 101:2008", "6.4.2, rectangular distribution where only bounds are known; 7, Monte Carlo")


def with_sureness(
    job: Job, decision: Decision, worst: float, chance: float, draws: int, again: tuple[str, ...]
) -> Decision:
    """Return the decision with its worst margin and chance; one that holds at nominal values only is a caution."""
    known = replace(decision, worst=round(worst, 6) + 0.0, chance=chance)
    if worst >= -TOUCH or decision.verdict is Verdict.STOP:
        return known
    measure = f"measure {' and '.join(again)} again, more closely" if again else ""
    return replace(
        known,
        verdict=Verdict.CAUTION,
        why=f"{decision.why}; holds at the nominal lengths only: {worst_words(job, decision, worst)} at worst, "
        f"{chance_words(chance, draws)}",
        do="; ".join(part for part in (measure, decision.do) if part),
    )


def worst_words(job: Job, decision: Decision, worst: float) -> str:
    """Return a margin for people: "margin -0.05 mm"."""
    return f"margin {job.show(worst, 4 if job.unit == 'in' else 3) if decision.unit == 'mm' else f'{worst:.3g}'}"


def chance_words(chance: float, draws: int) -> str:
    """Return a chance for people; none in all draws is not "never"."""
    if chance == 0:
        return f"below its limit in none of {draws} draws"
    return f"below its limit in {100 * chance:.3g} % of {draws} draws"


def sure_decision(d: Design, record: HowSure) -> Decision:
    """Return the decision that says how sure the margins are, and what to measure again."""
    if not record.varied:
        return stated(
            "how-sure",
            "how sure the margins are",
            "at nominal values only",
            "",
            "no length says how sure it is, so each margin counts every length as exact; write "
            "{ value = 8, within = 0.05 } for what was measured to learn each margin's worst and its chance",
            source=JCGM_101,
        )
    named = " and ".join(m.key for m in record.matters_most) or "none: no margin depends on what may be off"
    left = f"; not reckoned again: {', '.join(record.not_varied)}" if record.not_varied else ""
    varied = ", ".join(f"{s.key} {d.job.show(s.within, 4 if d.job.unit == 'in' else 3)}" for s in record.varied)
    return stated(
        "how-sure",
        "measurements that matter most",
        named,
        "",
        f"{record.draws} draws in which each of these lies anywhere within its bounds, alike often and apart from the "
        f"others: {varied}. Worst is the least margin anywhere within all bounds at once{left}",
        source=JCGM_101,
    )
