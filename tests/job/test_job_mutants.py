"""Whatever becomes of a job file, it is read or it is refused; nothing else ever comes out."""

from __future__ import annotations

import contextlib
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from gcodegen.errors import JobError
from gcodegen.job import read_job
from tests.job.job_text import JOBS, Raw, sound, toml

# It looks at the clock, and how busy the machine is says nothing about a job file.
SLOW_MACHINE = [HealthCheck.too_slow]
TEXTS = [file.read_text(encoding="utf-8") for file in sorted(JOBS.glob("*.toml"))]

scalars = (
    st.none()
    | st.booleans()
    | st.integers()
    | st.integers(min_value=10**300, max_value=10**500)
    | st.floats()
    | st.text(max_size=30)
    | st.sampled_from(["choose", "M6", "#29", "1/0 in", "1e5 mm", "- 3 mm", "\u0664 mm", "F", "kept", "A48 class 30"])
    | st.sampled_from([Raw("1979-05-27"), Raw("1979-05-27T07:32:00Z"), Raw("07:32:00"), Raw("0x" + "f" * 5000)])
)
values = st.recursive(
    scalars,
    lambda below: st.lists(below, max_size=3) | st.dictionaries(st.text(max_size=12), below, max_size=3),
)
names = st.text(max_size=12) | st.sampled_from(["diameter", "kind", "angles", "count", "thread", "feature", "ring"])


def paths(node: object, way: tuple[object, ...] = ()) -> list[tuple[object, ...]]:
    """Return the way to every value of nested tables."""
    below = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    return [*([way] if way else []), *(path for key, one in below for path in paths(one, (*way, key)))]


@settings(max_examples=400, deadline=None, suppress_health_check=SLOW_MACHINE)
@given(data=st.data())
def test_values_of_any_kind_in_any_place_are_read_or_refused(data: st.DataObject) -> None:
    tables = sound()
    for _ in range(data.draw(st.integers(1, 4))):
        *way, last = data.draw(st.sampled_from(paths(tables)))
        node: Any = tables
        for part in way:
            node = node[part]
        value = data.draw(values)
        if value is None:
            del node[last]
        elif isinstance(node, dict) and data.draw(st.booleans()):
            node[data.draw(names)] = value
        else:
            node[last] = value
        if not tables:
            break
    with contextlib.suppress(JobError):
        read_job(toml(_without_none(tables)))


def _without_none(value: object) -> object:
    if isinstance(value, dict):
        return {key: _without_none(one) for key, one in value.items() if one is not None}
    if isinstance(value, list):
        return [_without_none(one) for one in value if one is not None]
    return value


@settings(max_examples=200, deadline=None, suppress_health_check=SLOW_MACHINE)
@given(data=st.data())
def test_text_cut_and_pasted_anyhow_is_read_or_refused(data: st.DataObject) -> None:
    text = data.draw(st.sampled_from(TEXTS))
    start = data.draw(st.integers(0, len(text)))
    end = data.draw(st.integers(start, min(len(text), start + 40)))
    patch = data.draw(st.text(max_size=10) | st.sampled_from(["[", "]", "=", '"', "[[mill.tool]]", "= -", "\n", "{"]))
    with contextlib.suppress(JobError):
        read_job(text[:start] + patch + text[end:])
