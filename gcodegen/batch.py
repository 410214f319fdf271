"""Several jobs at once, on all cores: each is made and staged by a process of its own, then all are put in place.

Nothing is in place before every job was made, so a fault in the last one leaves the folders as they were.
"""

from __future__ import annotations

import multiprocessing
import os
import shutil
import signal
import tempfile
import threading
from collections.abc import Callable, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from dataclasses import replace
from functools import partial
from pathlib import Path

from gcodegen.job import Job
from gcodegen.make import Made, make
from gcodegen.output import cannot_write, held_signals

FEWEST_FOR_PROCESSES = 4
"""Fewer jobs are made faster than processes are started."""


def make_all(
    jobs: Sequence[tuple[Job, Path]],
    templates: Path | None = None,
    progress: Callable[[float], object] = lambda _: None,
    *,
    with_drawings: bool = False,
) -> list[Made]:
    """Make jobs and write each into its folder; return what was made, in order, without the texts.

    Parameters
    ----------
    jobs : sequence of (Job, Path)
        Each job with the folder for its files; the folders lie in one place.
    templates : Path, optional
        A folder of the user's own post templates.
    progress : callable
        Told, whenever a job is done, which part of the jobs is, 0 to 1.
    with_drawings : bool
        Leave each drawing as an SVG file too.

    Raises
    ------
    GcodegenError
        When a job cannot be made or written: then nothing is in place.
    """
    making = partial(make, templates=templates, with_drawings=with_drawings)
    if len(jobs) < FEWEST_FOR_PROCESSES:
        return _here(jobs, making, progress)
    place = jobs[0][1].parent
    stage = _stage(place)
    try:
        made = _by_processes([job for job, _ in jobs], stage, making, progress)
        return [
            replace(one, placed=one.move(stage / str(number), folder))
            for number, ((_, folder), one) in enumerate(zip(jobs, made, strict=True))
        ]
    finally:
        with held_signals():
            shutil.rmtree(stage, ignore_errors=True)


def _here(
    jobs: Sequence[tuple[Job, Path]], making: Callable[[Job], Made], progress: Callable[[float], object]
) -> list[Made]:
    made = []
    for job, _ in jobs:
        made.append(making(job))
        progress(len(made) / len(jobs))
    return [replace(one.without_texts(), placed=one.write(folder)) for (_, folder), one in zip(jobs, made, strict=True)]


def _by_processes(
    jobs: list[Job], stage: Path, making: Callable[[Job], Made], progress: Callable[[float], object]
) -> list[Made]:
    workers = min(len(jobs), cores())
    with ProcessPoolExecutor(workers, initializer=_as_helper) as pool:
        waiting: list[Future[Made]] = [
            pool.submit(_make_one, job, stage / str(number), making) for number, job in enumerate(jobs)
        ]
        try:
            made = []
            for future in waiting:
                made.append(future.result())
                progress(len(made) / len(jobs))
        except BaseException:
            pool.shutdown(cancel_futures=True)  # waits for those at work, so that none writes any more
            raise
    return made


def _as_helper() -> None:
    """Leave Ctrl-C to the process that asked for the work, and end with it however it ends."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    if parent := multiprocessing.parent_process():
        parent.join()
        os._exit(1)


def _make_one(job: Job, folder: Path, making: Callable[[Job], Made]) -> Made:
    made = making(job)
    made.write(folder)
    return made.without_texts()


def cores() -> int:
    """Return how many cores this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _stage(place: Path) -> Path:
    try:
        place.mkdir(parents=True, exist_ok=True)
        return Path(tempfile.mkdtemp(prefix=".making-", dir=place))
    except OSError as error:
        raise cannot_write(error, place) from error
