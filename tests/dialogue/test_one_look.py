"""The answer fits one look: counted over the own utterances, at the widths people have."""

from __future__ import annotations

import json
import statistics
from pathlib import Path

import pytest

from advisor.dialogue.conversation import Guide
from advisor.dialogue.one_shot import answer
from advisor.graph.wording import worded
from advisor.reasoning.advice import Advice
from advisor.views.aloud import say_aloud
from advisor.views.in_full import in_full, sources_of
from advisor.views.layout import cells
from advisor.views.more import more_of
from advisor.views.one_look import one_look

UTTERANCES = Path(__file__).parent.parent / "data" / "utterances.jsonl"
EVERY = 12
LONGEST, MEDIAN = 16, 14


@pytest.fixture(scope="module")
def advices(guide: Guide) -> list[Advice]:
    """The advice on every twelfth of the own utterances."""
    lines = [json.loads(x) for x in UTTERANCES.read_text("utf-8").splitlines() if x.strip()][::EVERY]
    texts = [str(x.get("text") or x.get("say") or x.get("utterance")) for x in lines]
    found = [answer(guide.desk, t).advice for t in texts]
    return [a for a in found if a is not None]


def test_no_answer_is_longer_than_one_look(guide: Guide, advices: list[Advice]) -> None:
    counted = [len(one_look(guide.engine, a, 80)) for a in advices]
    assert len(counted) > 20
    assert max(counted) <= LONGEST
    assert statistics.median(counted) <= MEDIAN


@pytest.mark.parametrize("width", [40, 80, 120])
def test_no_line_is_wider_than_the_window(guide: Guide, advices: list[Advice], width: int) -> None:
    for a in advices:
        for form in (one_look, more_of, sources_of):
            assert all(cells(line) <= width for line in form(guide.engine, a, width))


def test_a_stop_stands_first_and_the_engineer_last(guide: Guide, advices: list[Advice]) -> None:
    stop = guide.base.phrase("look-stop")
    for a in advices:
        lines = one_look(guide.engine, a, 80)
        stern = a.refer or any(c.severity == "stop" for c in a.cautions)
        assert lines[0].startswith(stop) == bool(stern)
        assert "qualified engineer" in " ".join(lines[-2:])


@pytest.mark.parametrize(
    ("text", "needs"),
    [
        # ASTM F1941/F1941M-15: no electroplate above 39 HRC; the refusal comes before the offer
        ("zinc plated 12.9 M10 socket screws for a fixture", ("Not electroplated zinc", "Zinc flake")),
        ("M10 8.8 bolts for a gate in town", ("Hot-dip galvanized", "years", "times")),
        ("eye bolt for lifting a motor, M16, galvanised", ("qualified engineer",)),
    ],
)
def test_what_is_said_aloud_is_plain(guide: Guide, text: str, needs: tuple[str, ...]) -> None:
    advice = answer(guide.desk, text).advice
    assert advice is not None
    said = " ".join(say_aloud(guide.engine, advice))
    assert all(n in said for n in needs)
    assert not any(code in said for code in ("ISO 10684", "tZn", "flZn", "[", "µm"))


def test_more_repeats_no_line_of_the_look(guide: Guide, advices: list[Advice]) -> None:
    for a in advices[:12]:
        look = one_look(guide.engine, a, 80)
        closing = look[-2:]
        again = [x for x in more_of(guide.engine, a, 80) if x in look and x not in closing and len(x) > 30]
        assert not again


def test_all_holds_every_caution_in_full(guide: Guide, advices: list[Advice]) -> None:
    for a in advices[:6]:
        whole = " ".join(" ".join(in_full(guide.engine, a, 80)).split())
        assert all(" ".join(c.text.split()) in whole for c in a.cautions)


def test_where_no_place_was_told_the_choice_is_said_for_three(guide: Guide) -> None:
    # ISO 9223: indoors C1 to C2, town C3, coast C4 to C5; one coat does not serve all of them
    advice = answer(guide.desk, "M10 8.8 bolts, 200 pieces").advice
    assert advice is not None
    said = " ".join(say_aloud(guide.engine, advice))
    assert "depends on the place" in said
    assert all(worded(guide.base, "environment", [p]) in said for p in guide.base.role("by-place"))
    shown = " ".join(" ".join(one_look(guide.engine, advice, 80)).split())
    assert guide.base.phrase("look-taken") in shown
    told = answer(guide.desk, "M10 8.8 bolts, 200 pieces, by the sea").advice
    assert told is not None
    assert "depends" not in " ".join(say_aloud(guide.engine, told))
