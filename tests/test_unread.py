"""What is said of a file that cannot be read, where the folder cannot be looked into either."""

from __future__ import annotations

from pathlib import Path

import pytest

from gcodegen.unread import coding_of, why_unread


def test_a_file_that_may_not_be_read_asks_for_the_right_to(tmp_path: Path) -> None:
    says, do = why_unread(tmp_path / "job.toml", PermissionError(13, "Permission denied"))
    assert says == "cannot be read: Permission denied"
    assert do.startswith("Ask for the right to read it")


def test_a_folder_that_may_not_be_listed_leaves_the_plain_word(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(_folder: Path) -> object:
        raise PermissionError(13, "Permission denied")

    (tmp_path / "jobs.toml").touch()
    assert "Did you mean" in why_unread(tmp_path / "job.toml", FileNotFoundError(2, "No such file"))[1]
    monkeypatch.setattr(Path, "iterdir", refuse)
    assert why_unread(tmp_path / "job.toml", FileNotFoundError(2, "No such file")) == (
        "cannot be read: No such file",
        "Check the file's name and place",
    )


@pytest.mark.parametrize(
    ("data", "at", "says"),
    [
        (b"\xff\xfea\0", 0, "is not UTF-8 text but UTF-16, as some editors save it by themselves"),
        (b"a\nb\n\xff", 4, "is not UTF-8 text: byte 5 cannot be read, in line 3"),
    ],
)
def test_the_place_of_a_byte_that_is_no_text_is_told(data: bytes, at: int, says: str) -> None:
    assert coding_of(data, at) == says
