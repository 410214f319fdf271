"""A talk at the terminal: one question, one line of answer; going back, and ending, at any time."""

from __future__ import annotations

import textwrap
from collections.abc import Callable
from dataclasses import dataclass
from typing import TextIO, TypeVar

from gcodegen.answers import HELP as ANSWERS_HELP
from gcodegen.answers import KEYS, ends, goes_back

_T = TypeVar("_T")
WIDTH = 96
HELP = f"Answer each question and press Enter. {KEYS}."


class TalkEndsError(Exception):
    """The other side ended the talk: q, end of input, or an interrupt."""


class GoBackError(Exception):
    """The other side wants to answer the question before again."""


@dataclass(frozen=True, slots=True)
class Talk:
    """A talk over two streams; ``clean`` makes text harmless for the terminal."""

    answers: TextIO
    words: TextIO
    clean: Callable[[str], str] = str

    def say(self, line: str = "") -> None:
        """Say one line, broken between words where it is longer than a terminal is wide."""
        clean = self.clean(line)
        if len(clean) > WIDTH:
            clean = textwrap.fill(clean, WIDTH, subsequent_indent="    ", break_long_words=False)
        self.words.write(f"{clean}\n")
        self.words.flush()

    def ask(self, question: str) -> str:
        """Ask, and return the answer without blanks round it.

        Raises
        ------
        TalkEndsError
            On q, at the end of the input, or on an interrupt.
        GoBackError
            On < or b.
        """
        self.words.write(f"{self.clean(question)}: ")
        self.words.flush()
        try:
            line = self.answers.readline()
        except (KeyboardInterrupt, UnicodeDecodeError):
            line = ""
        if not line:
            self.words.write("\n")
            raise TalkEndsError
        word = line.strip()
        if ends(word):
            raise TalkEndsError
        if goes_back(word):
            raise GoBackError
        if word == ANSWERS_HELP:
            self.say(f"  {HELP}")
            return self.ask(question)
        return word

    def ask_for(self, question: str, read: Callable[[str], _T]) -> _T:
        """Ask until ``read`` takes the answer; what it refuses (ValueError) is said, and asked again."""
        while True:
            word = self.ask(question)
            try:
                return read(word)
            except ValueError as error:
                self.say(f'  "{word[:40]}" {error}')
