"""The packet as PDF, by a Chromium that is on the machine; none is ever fetched."""

from __future__ import annotations

import shutil
import subprocess
import tempfile
from pathlib import Path

BROWSERS = ("chromium", "chromium-browser")
LONGEST_S = 120
_SWITCHES = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-pdf-header-footer",
)


def print_packet(page: Path) -> str:
    """Print a packet beside itself as packet.pdf; return what to say about it, never an error.

    Written whole or not at all. Where there is no Chromium, or it fails, the packet stands all the same and
    can be printed from any browser.
    """
    browser = next((found for name in BROWSERS if (found := shutil.which(name))), None)
    target = page.with_suffix(".pdf")
    beside = target.with_name(f".{target.name}.part")
    if browser is None:
        target.unlink(missing_ok=True)
        return f"no {target.name}: there is no Chromium on this machine; print {page.name} from a browser"
    with tempfile.TemporaryDirectory() as scratch:
        made = Path(scratch) / "packet.pdf"
        words = [
            browser,
            *_SWITCHES,
            f"--user-data-dir={scratch}/profile",
            f"--print-to-pdf={made}",
            page.resolve().as_uri(),
        ]
        try:
            subprocess.run(words, check=True, capture_output=True, timeout=LONGEST_S)
            shutil.copyfile(made, beside)
            beside.replace(target)
        except (OSError, subprocess.SubprocessError) as error:
            target.unlink(missing_ok=True)
            return f"no {target.name}: Chromium failed ({type(error).__name__}); print {page.name} from a browser"
        finally:
            beside.unlink(missing_ok=True)
    return f"{target.name} printed"
