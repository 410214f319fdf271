"""Comments: text reduced to characters that no reader of programs takes for anything else.

Inside a comment the language ends it at the first ``)``, refuses a second ``(``, and takes a text that
begins with ``MSG,`` as a message to the operator (NISTIR 6556, section 3.3.4). Other characters mean
something to a punched tape, a file transfer or a line's end. So only the characters below go through.
"""

from __future__ import annotations

import re
import string
import textwrap
import unicodedata

SAFE = frozenset(string.ascii_uppercase + string.digits + " .,:-+/=")
WIDTH = 76
LONGEST_TEXT = 1000  # of one text in comments; whatever is longer is cut
_GAP = re.compile(r" +(?=[.,:](?: |$))")
_ALONE = re.compile(r"(^|\s)['\"]?([^\w\s.,:+/='\"-])['\"]?(?=$|[\s,:]|\.(?:\s|$))")
_SPOKEN = str.maketrans({
    "#": "No.",
    '"': " in",
    "%": " percent ",
    "&": " and ",
    "\N{MULTIPLICATION SIGN}": "x",
    "\N{DEGREE SIGN}": " deg",
    "\N{LATIN CAPITAL LETTER O WITH STROKE}": "dia ",
    "\N{DIAMETER SIGN}": "dia ",
    "\N{EN DASH}": "-",
    "\N{EM DASH}": "-",
    ";": ".",
    "'": "",
    "\N{RIGHT SINGLE QUOTATION MARK}": "",
})  # fmt: skip


def safe(text: str) -> str:
    """Return a text in upper case, with nothing in it that could end the comment or the line."""
    plain = unicodedata.normalize("NFKD", text[:LONGEST_TEXT].translate(_SPOKEN).upper())
    kept = (c if c in SAFE else "" if unicodedata.combining(c) else " " for c in plain)
    return _GAP.sub("", " ".join("".join(kept).split()))


def named_characters(text: str) -> str:
    """Return a text in which a character that stands for itself, and no comment holds, is called by its name."""
    return _ALONE.sub(lambda found: f"{found[1]}{unicodedata.name(found[2], 'A CHARACTER')}", text)


def one_line(text: str, width: int = WIDTH) -> str:
    """Return a text as one comment: safe, and cut after ``width`` characters."""
    return no_message(safe(text))[:width].rstrip()


def comment_lines(text: str, width: int = WIDTH) -> tuple[str, ...]:
    """Return a text as comments of at most ``width`` characters; those after the first begin with a dash."""
    lines = textwrap.wrap(no_message(safe(text)), width, subsequent_indent="- ", break_on_hyphens=False)
    return tuple(lines)


def no_message(text: str) -> str:
    """Return a text with a dash before it, if the language would take it for a message to the operator."""
    return f"- {text}" if text.replace(" ", "").startswith("MSG,") else text
