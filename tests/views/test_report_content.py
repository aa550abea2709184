"""What a written recommendation says: all that the answer holds, alike in every form, nothing taken for markup."""

from __future__ import annotations

import itertools
import re
from html.parser import HTMLParser
from xml.etree import ElementTree

import pytest

from advisor.dialogue.one_shot import answer
from advisor.dialogue.state import Desk
from advisor.graph.base import Base
from advisor.language.vocabulary import Vocabulary
from advisor.reasoning.engine import Engine
from advisor.views.page import page_of
from advisor.views.report_data import report_json
from advisor.views.report_markdown import markdown_of
from advisor.views.report_parts import Gallery, Imprint, Notice, Points, Working, WrittenReport
from advisor.views.report_text import text_of
from advisor.views.report_whole import Matter, matter_of, report_on

FENCE = "200 M10x60 bolts 8.8 for a fence by the road, no salt, 20 years"
HARD = "M12x40 12.9 socket cap screws, zinc plated, outdoors on a machine"
MARINA = "M8x30 A4-80 stainless screws into aluminium rails on a marina at the seaside"
BROKEN = "our zinc plated 10.9 bolts broke two days after tightening"
QUESTION = "can I zinc plate M12 12.9 socket screws?"
MADE = Imprint("2026-12-01 09:30", "0", "0", "0123456789abcdef")
EVERY = (FENCE, HARD, MARINA, BROKEN, QUESTION, "torque for M10 8.8 zinc flake", "what does Fe/Zn 8/An/T0 mean?")


@pytest.fixture(scope="module")
def desk(engine: Engine, vocabulary: Vocabulary) -> Desk:
    return Desk(engine, vocabulary)


def matter(desk: Desk, text: str) -> Matter:
    found = answer(desk, text)
    return matter_of(desk.engine, found.kind, (text,), found.enquiry, found.advice, found.replies)


def report(desk: Desk, text: str) -> WrittenReport:
    return report_on(desk.engine, matter(desk, text), MADE)


def pictures(r: WrittenReport) -> dict[str, str]:
    return {p.id: p.text for s in r.sections for b in s.blocks if isinstance(b, Gallery) for p in b.pictures}


# content ------------------------------------------------------------------------------------------------------------


def test_the_most_important_comes_first_and_the_sources_last(desk: Desk) -> None:
    ids = [s.id for s in report(desk, FENCE).sections]
    assert ids[:4] == ["in-short", "enquiry", "order", "candidates"]
    assert ids[-2:] == ["hand-over", "sources"]
    assert {"why-not", "open", "pictures", "workings", "cautions"} <= set(ids)


def test_the_report_holds_what_the_answer_holds(desk: Desk) -> None:
    m = matter(desk, FENCE)
    assert m.advice is not None
    text = " ".join(text_of(desk.base, report(desk, FENCE)).split())
    first = m.advice.recommended[0]
    assert desk.base.finishes[first.ranked.finish].name in text
    for reason in first.reasons:
        assert reason.text in text
    for c in m.advice.cautions:
        if c.severity == "warn":
            assert c.brief in text
    for r in m.advice.recommended[1:4]:
        assert desk.base.finishes[r.ranked.finish].name in text
    assert desk.base.phrase("say-closing") in text
    assert FENCE in text


def test_why_not_names_what_was_asked_for_with_the_hardness_line_of_the_standards(desk: Desk) -> None:
    """ASTM F1941-15, introduction: above 39 HRC electroplating is not recommended; ISO 4042:2018, 4.4: 390 HV."""
    r = report(desk, HARD)
    why_not = next(s for s in r.sections if s.id == "why-not")
    text = text_of(desk.base, r._replace(sections=(why_not,)))
    asked = text.split("Electroplated zinc", 1)[1]
    assert "39 HRC" in asked.split("  - ")[0]


def test_every_marked_number_stands_in_the_list_of_sources(desk: Desk) -> None:
    for words in EVERY:
        text = text_of(desk.base, report(desk, words))
        listed = {int(n) for n in re.findall(r"^ +\[(\d+)\] \S", text, re.MULTILINE)}
        marked = {int(n) for n in re.findall(r"\[(\d+)\]", text)}
        assert marked == listed, words


def test_a_diagnosis_says_what_to_do_before_what_may_stand_behind_it(desk: Desk) -> None:
    r = report(desk, BROKEN)
    ids = [s.id for s in r.sections]
    assert r.kind == "diagnosis"
    assert ids.index("in-short") < ids.index("now") < ids.index("causes") < ids.index("hand-over")
    assert "order" not in ids
    assert "causes" in pictures(r)


def test_an_answer_stands_before_the_advice_behind_it(desk: Desk) -> None:
    r = report(desk, QUESTION)
    m = matter(desk, QUESTION)
    assert m.direct is not None
    assert m.direct.text in text_of(desk.base, r).replace("\n", " ")
    assert r.sections[0].id == "in-short"


def test_where_no_place_was_told_the_figures_say_for_which_place_they_hold(desk: Desk) -> None:
    r = report(desk, "M8 8.8 hex bolts")
    notes = [b.says.text for b in r.sections[0].blocks if isinstance(b, Notice)]
    assert any("No place was told" in x for x in notes)
    assert not any(isinstance(b, Notice) for b in report(desk, FENCE).sections[0].blocks)


def test_another_class_of_the_metal_asked_for_is_not_passed_over(desk: Desk) -> None:
    """ISO 3506-1: A4-70 yields at 450 MPa, A4-80 at 600 MPa; whichever is offered, the report says what was asked."""
    m = matter(desk, MARINA)
    assert m.advice is not None
    grade = desk.base.finishes[m.advice.recommended[0].ranked.finish].grade
    told = [b.says.text for b in report(desk, MARINA).sections[0].blocks if isinstance(b, Notice)]
    assert any("A4-80" in x and grade in x for x in told) == (grade != "A4-80")


def test_where_an_engineer_decides_it_is_no_recommendation(desk: Desk) -> None:
    r = report(desk, "M12 12.9 socket screws for the lifting eye of a crane")
    assert r.title == desk.base.phrase("report-title-referral")
    assert isinstance(r.sections[0].blocks[0], Notice)
    assert "order" not in [s.id for s in r.sections]
    assert "Not to be ordered from" in r.closing[0]


def test_metals_in_contact_are_worked_out_by_the_anodic_index(desk: Desk) -> None:
    """Anodic index of austenitic stainless steel 0.50 V and of aluminium 0.90 V; 0.15 V allowed in salt air: the usual
    table of the voltage rule.
    """
    worked = [b for s in report(desk, MARINA).sections for b in s.blocks if isinstance(b, Working)]
    couple = next(w for w in worked if w.name == desk.base.phrase("report-working-couple"))
    text = " ".join(s.text for s in couple.lines)
    assert "0.40 V apart" in text
    assert "0.15 V allowed" in text


def test_a_late_break_shows_the_hardness_of_the_class_against_the_hydrogen_lines(desk: Desk) -> None:
    """ISO 898-1, class 10.9: 32 to 39 HRC."""
    assert "32 to 39 HRC" in pictures(report(desk, BROKEN))["hydrogen"]


def test_a_diagnosis_warns_only_of_what_is_on_the_part(desk: Desk) -> None:
    cautions = next(s for s in report(desk, BROKEN).sections if s.id == "cautions")
    text = text_of(desk.base, report(desk, BROKEN)._replace(sections=(cautions,)))
    assert "Stainless, titanium" not in text
    assert "hexavalent chromium" in text  # electroplated zinc may carry it


def test_an_order_of_wood_screws_has_its_lines_too(desk: Desk) -> None:
    r = report(desk, "deck screws 4.5x60 into treated timber near the sea")
    lines = next(
        b for b in r.sections[2].blocks if isinstance(b, Points) and b.intro == desk.base.phrase("report-order-lines")
    )
    text = " ".join(s.text for s in lines.items)
    assert "4.5" in text
    assert "Wood screw" in text
    assert "EN 10204" in text


# figures on pictures ------------------------------------------------------------------------------------------------


def test_the_picture_of_life_says_years_and_wish_in_words(desk: Desk) -> None:
    """Zinc of 50 µm in C3, ISO 9223:2012 Table 2 (0.7 to 2.1 µm a year): 50 / 2.1 = 24 to 50 / 0.7 = 71 years."""
    text = pictures(report(desk, FENCE))["life"]
    assert "24 to 71" in text
    assert "20 years" in text


def test_the_picture_of_the_thread_counts_the_coat_four_times(desk: Desk) -> None:
    """ISO 965-1: es of 6g at a pitch of 1.5 mm is 32 µm; a coat of 50 µm takes 4 x 50 µm on the pitch diameter."""
    text = pictures(report(desk, FENCE))["thread"]
    assert "32 µm" in text
    assert "200 µm" in text


def test_the_picture_of_torque_shows_proof_load_and_yield(desk: Desk) -> None:
    """ISO 898-1, M10 8.8: stress area 58.0 mm², proof stress 580 MPa (33.6 kN), yield 640 MPa (37.1 kN)."""
    text = pictures(report(desk, FENCE))["torque"]
    assert "33.6 kN" in text
    assert "37.1 kN" in text


def test_the_picture_of_hardness_shows_class_and_limit(desk: Desk) -> None:
    """ISO 898-1, class 12.9: 39 to 44 HRC; ASTM F1941-15: above 39 HRC no electroplating."""
    text = pictures(report(desk, HARD))["hydrogen"]
    assert "39 to 44 HRC" in text
    assert "39 HRC: " in text
    assert "hydrogen" not in pictures(report(desk, FENCE))  # 8.8 lies far below


def test_the_way_through_the_knowledge_begins_with_what_was_told_and_ends_with_the_finish(desk: Desk) -> None:
    text = pictures(report(desk, FENCE))["path"]
    assert "fence" in text
    assert text.rstrip(".").endswith("Hot-dip galvanized and spun, ISO 10684 (50 µm)")


def test_every_calculation_names_its_method_and_how_to_see_every_step(desk: Desk) -> None:
    worked = [b for s in report(desk, FENCE).sections for b in s.blocks if isinstance(b, Working)]
    assert {"VDI 2230", "ISO 965-1", "ISO 9223"} <= {
        d for w in worked for d in ("VDI 2230", "ISO 965-1", "ISO 9223") if d in w.method
    }
    assert all("advisor " in w.step for w in worked)


# forms --------------------------------------------------------------------------------------------------------------


def texts_of(node: object) -> list[str]:
    """Every text of a JSON value."""
    if isinstance(node, str):
        return [node]
    if isinstance(node, dict):
        return [t for v in node.values() for t in texts_of(v)]
    return [t for v in node for t in texts_of(v)] if isinstance(node, list) else []


class Page(HTMLParser):
    """A page taken apart: its tags with attributes, its words, and whether every tag is closed."""

    VOID = ("meta", "input", "br", "rect", "polyline")

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.words: list[str] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1] != "style":
            self.words.append(data)

    def named(self, tag: str) -> list[dict[str, str | None]]:
        return [a for t, a in self.tags if t == tag]


def test_every_form_says_the_same(desk: Desk) -> None:
    r = report(desk, FENCE)
    page = " ".join(" ".join(Page(page_of(desk.base, r)).words).split())
    text = " ".join(text_of(desk.base, r).split())
    for sentence in (s for b in r.sections[2].blocks for s in getattr(b, "items", ())):
        assert sentence.text in page
        assert sentence.text in text
        assert sentence.text in texts_of(report_json(r, False))


@pytest.mark.parametrize("words", EVERY)
def test_a_page_is_whole_and_can_be_read_by_everybody(words: str, desk: Desk) -> None:
    page = Page(page_of(desk.base, report(desk, words)))
    assert page.open == []
    assert page.named("html")[0]["lang"] == "en"
    heads = [int(t[1]) for t, _ in page.tags if re.fullmatch("h[1-6]", t)]
    assert heads[0] == 1
    assert heads.count(1) == 1
    assert all(b - a <= 1 for a, b in itertools.pairwise(heads)), heads
    assert all(a.get("scope") in ("col", "row") for a in page.named("th"))
    ids = [a["id"] for _, a in page.tags if a.get("id")]
    assert len(ids) == len(set(ids))
    for a in page.named("svg"):
        assert a["role"] == "img"
        assert set(str(a["aria-labelledby"]).split()) <= set(ids)
    assert {a["for"] for a in page.named("label")} == {a["id"] for a in page.named("input")}
    links = [str(a["href"]) for a in page.named("a")]
    assert all(x.startswith("#") and x[1:] in ids for x in links)


@pytest.mark.parametrize("words", EVERY)
def test_a_page_loads_and_runs_nothing(words: str, desk: Desk) -> None:
    text = page_of(desk.base, report(desk, words))
    page = Page(text)
    assert not page.named("script")
    assert not page.named("link")
    assert not page.named("img")
    assert not [a for _, a in page.tags if "style" in a or any(k.startswith("on") for k in a)]
    assert "url(" not in text
    assert "@import" not in text
    policy = next(a["content"] for a in page.named("meta") if a.get("http-equiv") == "Content-Security-Policy")
    assert "default-src 'none'" in str(policy)
    assert "unsafe" not in str(policy)


def test_pictures_are_well_formed_and_use_no_colour_of_their_own(desk: Desk) -> None:
    for words in (FENCE, HARD, MARINA, BROKEN):
        text = page_of(desk.base, report(desk, words))
        for drawn in re.findall(r"<svg.*?</svg>", text, re.DOTALL):
            tree = ElementTree.fromstring(drawn)
            assert tree.find("title") is not None
            assert tree.find("desc") is not None
            assert not [e for e in tree.iter() if "fill" in e.attrib or "stroke" in e.attrib]


HOSTILE = (
    "M10 8.8 fence <script>alert(1)</script> <img src=x onerror=alert(2)> \"quoted\" & 'single' "
    "</title></style><!-- --> [click](javascript:alert(3)) `code` *bold* | cell | <b>b</b> www.evil.example"
)


def test_hostile_words_stay_words_on_a_page(desk: Desk) -> None:
    r = report(desk, HOSTILE)
    page = Page(page_of(desk.base, r))
    assert not page.named("script")
    assert not page.named("img")
    assert not page.named("b") or "<b>b" not in page_of(desk.base, r)
    assert "alert(1)" in "".join(page.words)
    assert page.open == []


def test_hostile_words_stay_words_in_markdown(desk: Desk) -> None:
    text = markdown_of(desk.base, report(desk, HOSTILE))
    assert "<script" not in text
    assert "<img" not in text
    assert not re.search(r"(?<!\\)\]\(javascript", text)
    assert "www.evil" not in text
    assert "*bold*" not in text.replace("\\*bold\\*", "")


def test_controls_and_turned_directions_reach_no_form(desk: Desk) -> None:
    r = report(desk, "M10 8.8 fence \u202egnp.exe \x1b[31m red \u200b end")
    for text in (page_of(desk.base, r), markdown_of(desk.base, r), text_of(desk.base, r)):
        assert not set("\u202e\x1b\u200b") & set(text)


def test_names_from_a_branch_are_escaped_like_any_other_text(desk: Desk) -> None:
    """An overlay can name a finish as it likes: a report with such a name in every place is still one page."""
    r = report(desk, FENCE)
    bad = "<svg onload=alert(4)>"
    texts = [s._replace(heading=bad) for s in r.sections]
    page = Page(page_of(desk.base, r._replace(title=bad, subject=bad, sections=tuple(texts), closing=(bad,))))
    assert not [a for a in page.named("svg") if "onload" in a]
    assert page.open == []


def test_the_base_holds_a_word_for_every_verdict_that_a_report_can_print(base: Base) -> None:
    wanted = [f"report-fit-{v}" for v in ("fits", "tight", "does-not-fit")]
    wanted += [f"report-hydrogen-{v}" for v in ("allowed", "allowed-with-controls", "avoid", "forbidden")]
    wanted += [f"report-susceptible-{v}" for v in ("none", "low", "moderate", "high")]
    wanted += [f"report-criterion-{v}" for v in ("life", "cost", "clamp", "evidence", "stock")]
    wanted += [f"report-basis-{v}" for v in ("published", "published-quoted", "derived", "practice", "memory", "none")]
    missing = [p for p in wanted if p not in base.kind("phrase")]
    assert missing == []
