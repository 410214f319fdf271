"""A program as the packet takes it: its text and what the dry run said about that very text."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from gcodegen.dryrun.report import Report


@dataclass(frozen=True, slots=True, kw_only=True)
class Program:
    """One program: ``name`` is its file's, ``on`` the machine, ``report`` the dry run of ``text``."""

    name: str
    on: Literal["mill", "lathe"]
    text: str
    report: Report
