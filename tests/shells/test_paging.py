"""Long replies by pages on a terminal; nothing of them is lost, and a pipe never waits."""

from __future__ import annotations

import pytest

from advisor.shells.chat import paging
from advisor.shells.chat.paging import height, pages, show_paged

LINES = [f"line {n}" for n in range(60)]


@pytest.mark.parametrize("rows", [10, 24, 50])
def test_a_page_leaves_room_for_what_was_typed_and_nothing_is_lost(rows: int) -> None:
    found = pages(LINES, rows)
    assert [x for page in found for x in page] == LINES
    assert all(len(page) < rows for page in found)


def test_a_reply_that_fits_and_a_pipe_are_never_cut() -> None:
    assert pages(LINES[:23], 24) == [LINES[:23]]
    assert pages(LINES, 0) == [LINES]
    assert height() == 0  # the tests write to no terminal


def test_a_heading_goes_with_what_it_heads() -> None:
    lines = [*LINES[:21], "More figures:", *LINES[22:40]]
    first, second = pages(lines, 24)[:2]
    assert first[-1] == LINES[20]
    assert second[0] == "More figures:"


@pytest.mark.parametrize(("typed", "shown", "back"), [("", 60, ""), ("q", 22, ""), ("M12", 22, "M12")])
def test_enter_goes_on_and_other_words_are_the_next_line(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], typed: str, shown: int, back: str
) -> None:
    monkeypatch.setattr(paging, "height", lambda: 24)
    assert show_paged(LINES, None, lambda left: typed) == back
    assert len([x for x in capsys.readouterr().out.splitlines() if x]) == shown
