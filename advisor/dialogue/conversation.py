"""A conversation as a pure function: (state, utterance) -> (state, replies). No terminal, no file, no clock."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from advisor.calculations.options import Calculation
from advisor.dialogue.answering import asks_only, look_up
from advisor.dialogue.facts import Change, merge, named, worded
from advisor.dialogue.inputs import calculation_of, inputs_of
from advisor.dialogue.options import option_by_number, option_by_words
from advisor.dialogue.state import (
    Advise,
    Ask,
    Compare,
    Compute,
    Doubt,
    Explain,
    Reply,
    Save,
    Say,
    Show,
    State,
    Turn,
    WhatIf,
)
from advisor.language.reading import Reading, Unclear, read
from advisor.language.requests import Request
from advisor.language.vocabulary import Vocabulary
from advisor.reasoning.advice import Advice, advise
from advisor.reasoning.engine import Engine, Judged
from advisor.reasoning.enquiry import UNKNOWN, Enquiry, Said
from advisor.reasoning.explain import acceptable_if, compare, difference, why_not
from advisor.reasoning.orders import order_of
from advisor.reasoning.questions import next_question, outcomes_of, with_answer

MOST_QUESTIONS = 5
"""After so many questions the advice comes, with what is still open."""


CALLOUT = "callout"
CARDS_SHOWN = 3
FIRST_LINES = ("say-first-line", "say-first-help")
DETAIL = {"more": 2, "cite": 3}


class Guide:
    """The conversation's rules over one base and vocabulary; holds nothing of any conversation."""

    def __init__(self, engine: Engine, vocabulary: Vocabulary) -> None:
        self.engine = engine
        self.base = engine.base
        self.vocabulary = vocabulary

    def start(self) -> Turn:
        """The first lines."""
        return State(), tuple(Say(self.base.phrase(p)) for p in FIRST_LINES)

    def step(self, state: State, utterance: str) -> Turn:
        """One turn: reads the utterance, answers it, asks the next question or advises."""
        text = utterance.strip()
        if not text:
            return state, self._ask_again(state)
        decision = self._decision(state)
        slot = str(decision["slot"]) if decision else None
        if state.doubts:
            settled = self._settle(state, text)
            if settled is not None:
                return settled
            state = state._replace(doubts=())
        asked = self._decision(state)
        chosen = option_by_number(asked, self.base.kind("slot"), text) if asked else None
        if chosen is not None:
            return self._answered(state, chosen, text)
        reading = self._read(state, text, slot)
        nothing_read = not reading.understood and not reading.circumstances
        meant = option_by_words(asked, text, self.base.role_words("denials")) if asked and nothing_read else None
        if meant is not None:
            return self._answered(state, meant, text)
        moved = self._move(state, reading, text, slot)
        if moved is None and slot and slot not in reading.understood:
            # no answer to the question: it may be a question back
            moved = self._asked_back(state, read(text, self.vocabulary), text)
        if moved is not None:
            return moved
        return self._facts(state, reading, text, slot)

    def _decision(self, state: State) -> Mapping[str, Any] | None:
        return self.base.kind("decision").get(state.asked)

    def _read(self, state: State, text: str, slot: str | None) -> Reading:
        """The utterance read against the question asked, unless its words plainly mean something else.

        "What torque for M12 10.9?" after "how many years?" is not 10.9 years: words that fill another slot without the
        question are not taken as its answer.
        """
        reading = read(text, self.vocabulary, slot)
        answer = reading.understood.get(slot) if slot else None
        if answer is None or answer.value == UNKNOWN:
            return reading
        free = read(text, self.vocabulary)
        if slot in free.understood:
            return reading
        elsewhere = [x.words for s, x in free.understood.items() if s != slot]
        calculated = any(i.kind == "calculation" and inputs_of(i.about, i) is not None for i in free.intents)
        said = state.enquiry.said
        denied = any(i.kind == "no" and i.words == answer.words for i in reading.intents)
        if denied and any(s in said and said[s].value != x.value for s, x in free.understood.items()):
            return free  # "no, 12.9" takes back what was said and answers nothing
        return free if calculated or any(answer.words and answer.words in w for w in elsewhere) else reading

    # moves -----------------------------------------------------------------------------------------------------

    def _move(self, state: State, reading: Reading, text: str, slot: str | None) -> Turn | None:
        """A move in the conversation, if the words make one."""
        kinds = {i.kind: i for i in reading.intents}
        say = self.base.phrase
        simple = {"help": "say-help", "thanks": "say-thanks"}
        for kind, phrase in simple.items():
            if kind in kinds and not reading.understood:
                return state, (Say(say(phrase)),)
        if "leave" in kinds and not reading.understood:
            return state._replace(done=True), ()
        if "restart" in kinds and not reading.understood:
            return State(), (Say(say("say-start-again")),)
        if "back" in kinds and not reading.understood:
            return self._back(state)
        if "why-question" in kinds or ("why" in kinds and state.asked and not reading.understood):
            return state, self._why_asked(state)
        if "why-not" in kinds:
            return self._why_not(state, kinds["why-not"], reading)
        if "acceptable-if" in kinds:
            return self._why_not(state, kinds["acceptable-if"], reading)
        if "what-if" in kinds:
            return self._what_if(state, reading)
        if "compare" in kinds:
            return self._compare(state, kinds["compare"], reading)
        if "why" in kinds and not reading.understood:
            return self._advice(state, 2)
        for kind, layer in DETAIL.items():
            if kind in kinds and not reading.understood:
                return self._advice(state, layer)
        if "save" in kinds and not reading.understood:
            if not _something(state.enquiry):
                return state, (Say(say("say-no-advice-yet")),)
            return state, (Save(advise(self.engine, state.enquiry)),)
        if "change" in kinds and not reading.understood:
            return self._reopen(state, kinds["change"])
        computed = self._compute(reading.intents) if asks_only(reading) else None
        if computed is not None:
            return state, (Compute(computed), *self._remind(state))
        if "lookup" in kinds and slot is None:
            return self._looked_up(state, kinds["lookup"], reading, text)
        return None

    def _looked_up(self, state: State, intent: Request, reading: Reading, text: str) -> Turn | None:
        """A look-up; None where the words tell facts of an enquiry instead ("which is the cheapest?")."""
        told = set(reading.understood) - {"callout", "strength", "regime"}
        if told == {"finish_asked"} and _something(state.enquiry):
            return self._why_not(state, intent, reading)
        if told - {"finish_asked"} and _something(state.enquiry):
            return None
        cards = look_up(self.engine, intent.about or text, CARDS_SHOWN)
        return (state, (Show(cards), *self._remind(state))) if cards else None

    def _asked_back(self, state: State, reading: Reading, text: str) -> Turn | None:
        """A calculation, a code or a look-up asked for instead of an answer; the question stays open."""
        kinds = {i.kind: i for i in reading.intents}
        computed = self._compute(reading.intents)
        if computed is not None:
            return state, (Compute(computed), *self._remind(state))
        if "lookup" in kinds:
            return self._looked_up(state, kinds["lookup"], reading, text)
        return None

    def _compute(self, requests: Sequence[Request]) -> Calculation | None:
        """The first calculation asked for that has what it needs, or the code asked for."""
        for kind in ("calculation", "decode"):
            for request in requests:
                computed = calculation_of(self.base, request) if request.kind == kind else None
                if computed is not None:
                    return computed
        return None

    def _judged(self, state: State) -> Judged:
        return self.engine.judge(state.enquiry)

    def _back(self, state: State) -> Turn:
        if not state.past:
            return state, (Say(self.base.phrase("say-nothing-to-go-back")),)
        before = state.past[-1]
        differs = [s for s in state.enquiry.said if before.said.get(s) != state.enquiry.said[s]]
        names = {s: str(self.base.kind("slot").get(s, {}).get("name", s)) for s in differs}
        what = ", ".join(names[s] for s in differs if s not in before.said)
        again = "; ".join(f"{names[s]} {self._shown(before.said[s].value)}" for s in differs if s in before.said)
        state = state._replace(
            enquiry=before,
            past=state.past[:-1],
            asked="",
            doubts=(),
            asked_before=frozenset(),
            questions=max(0, state.questions - 1),
            advised=False,
        )
        opened = self.base.phrase("say-back", what=what or ("" if again else self.base.phrase("say-last-answer")))
        as_before = self.base.phrase("say-back-to", what=again)
        said = Say(" ".join([opened] * bool(what or not again) + [as_before] * bool(again)))
        if not _something(before):
            return state, (said,)
        after, replies = self._go_on(state)
        return after, (said, *replies)

    def _why_asked(self, state: State) -> tuple[Reply, ...]:
        d = self.base.kind("decision").get(state.asked)
        if d is None:
            return (Say(self.base.phrase("say-nothing-asked")),)
        out: list[Reply] = [Say(self.base.phrase("say-why-asked", changes=d.get("changes", "")))]
        question = outcomes_of(self.engine, self._judged(state), state.asked)
        if question is not None:
            firsts: dict[str, list[str]] = {}
            texts = {o["id"]: o["text"] for o in d["options"]}
            for option, family in question.outcomes.items():
                firsts.setdefault(family, []).append(texts[option])
            for family, answers in list(firsts.items())[:4]:
                finish = named(self.base, family) if family else self.base.phrase("say-no-finish")
                out.append(Say(self.base.phrase("say-why-asked-now", answer=" / ".join(answers[:3]), finish=finish)))
        return (*out, *self._ask_again(state))

    def _families(self, reading: Reading, about: str) -> list[str]:
        """The finish families that a question speaks of."""
        found: list[str] = []
        for slot in ("finish_asked", "exclude"):
            item = reading.understood.get(slot)
            if item is not None and isinstance(item.value, (list, tuple)):
                found.extend(str(v) for v in item.value)
        found.extend(reading.mentioned)
        if not found and about:
            again = read(about, self.vocabulary)
            found = [
                str(v) for s in ("finish_asked", "exclude") if s in again.understood for v in again.understood[s].value
            ]
            found.extend(again.mentioned)
        return [f for f in dict.fromkeys(found) if f in self.engine.rules.family_mask]

    def _why_not(self, state: State, intent: Request, reading: Reading) -> Turn:
        families = self._families(reading, intent.about)
        if not families:
            return state, (Say(self.base.phrase("say-which-finish")),)
        judged = self._judged(state)
        out: list[Reply] = []
        for family in families[:2]:
            w = why_not(self.engine, judged, family)
            remedies = acceptable_if(self.engine, judged, family) if w.state != "in" else ()
            out.append(Explain(w, remedies))
        return state, (*out, *self._remind(state))

    def _what_if(self, state: State, reading: Reading) -> Turn:
        if not reading.understood and not reading.circumstances:
            return state, (Say(self.base.phrase("say-what-if-how")),)
        replaced = reading._replace(corrections=frozenset(reading.understood))
        other, changes = merge(self.base, state.enquiry, replaced)
        words = "; ".join(worded(self.base, c.slot, c.now) for c in changes) or ", ".join(
            c.words for c in reading.circumstances
        )
        return state, (WhatIf(words, difference(self.engine, self._judged(state), other)), *self._remind(state))

    def _compare(self, state: State, intent: Request, reading: Reading) -> Turn:
        families = self._families(reading, intent.about)[:3]
        judged = self._judged(state)
        if len(families) == 1 and judged.ranked and judged.ranked[0].family != families[0]:
            families = [judged.ranked[0].family, *families]
        if len(families) < 2:
            return state, (Say(self.base.phrase("say-which-two")),)
        return state, (Compare(compare(self.engine, judged, families)), *self._remind(state))

    def _reopen(self, state: State, intent: Request) -> Turn:
        """ "change the size": the slot is open again and asked."""
        words = set(intent.about.lower().split())
        for d_id, d in self.base.kind("decision").items():
            name = str(self.base.kind("slot").get(d["slot"], {}).get("name", ""))
            if d["slot"] in state.enquiry.said and (words & set(name.lower().split()) or d["slot"] in words):
                state = state._replace(
                    past=(*state.past, state.enquiry), enquiry=state.enquiry.without(d["slot"]), asked=d_id
                )
                return state, (self._question(d_id),)
        return state, (Say(self.base.phrase("say-change-how")),)

    # facts -----------------------------------------------------------------------------------------------------

    def _facts(self, state: State, reading: Reading, text: str, slot: str | None) -> Turn:
        say = self.base.phrase
        kinds = {i.kind for i in reading.intents}
        if "too-long" in kinds:
            return state, (Say(say("say-too-long", limit=2000)),)
        understood = dict(reading.understood)
        unknown = slot in understood and understood[slot].value == UNKNOWN
        if slot and (unknown or ("dont-know" in kinds and slot not in understood)) and len(understood) <= 1:
            return self._unknown(state, slot, text)
        if not understood and not reading.circumstances and not reading.unclear and not reading.mentioned:
            return state, self._nothing(state, kinds)
        was_advised, before = state.advised, state.enquiry
        origin = "answer" if slot and slot in understood else "words"
        enquiry, changes = merge(self.base, state.enquiry, reading, origin)
        echo: list[Reply] = []
        corrected = [c for c in changes if c.before is not None]
        echo += [Say(self._changed(c)) for c in corrected if c.before != UNKNOWN]
        fresh = [worded(self.base, c.slot, c.now) for c in changes if c.before is None or c.before == UNKNOWN]
        fresh += [
            f"'{c.words}'" for c in reading.circumstances if c.words and c.slug not in state.enquiry.circumstances
        ]
        if fresh:
            echo.insert(0, Say(say("say-understood", parts="; ".join(fresh))))
        code = next((str(c.now) for c in changes if c.slot == CALLOUT and c.now != UNKNOWN), "")
        meaning = order_of(self.base, code).meaning if code else ""
        if meaning:
            echo.append(Say(say("say-code-means", code=code, meaning=meaning)))
        if reading.unused:
            echo.append(Say(say("say-unused-words", words=", ".join(reading.unused))))
        asked = self.base.kind("decision").get(state.asked)
        if asked and asked["slot"] == "circumstance" and not reading.circumstances and "dont-know" in kinds:
            echo = []
        state = state._replace(
            enquiry=enquiry,
            past=(*state.past, state.enquiry),
            words=(*state.words, text),
            asked="",
            advised=state.advised and not changes,
        )
        doubts = tuple(_doubt(u) for u in reading.unclear if u.slot not in enquiry.said)
        if doubts:
            state = state._replace(doubts=doubts)
            return state, (*echo, self._doubt_question(doubts[0]))
        after, replies = self._go_on(state)
        if (
            was_advised
            and len(replies) == 1
            and isinstance(replies[0], Advise)
            and self._same(before, replies[0].advice)
        ):
            replies = (Say(say("say-advice-same")),)
        return after, (*echo, *replies)

    def _same(self, before: Enquiry, advice: Advice) -> bool:
        """Whether an advice says what was said before."""
        old = advise(self.engine, before)
        return (
            [(r.ranked.finish, r.figures) for r in old.recommended]
            == [(r.ranked.finish, r.figures) for r in advice.recommended]
            and [(c.id, c.severity) for c in old.cautions] == [(c.id, c.severity) for c in advice.cautions]
            and (old.refer, old.requires, old.notes) == (advice.refer, advice.requires, advice.notes)
        )

    def _changed(self, c: Change) -> str:
        what = str(self.base.kind("slot").get(c.slot, {}).get("name", c.slot))
        return self.base.phrase("say-corrected", what=what, value=self._shown(c.now), before=self._shown(c.before))

    def _shown(self, value: Any) -> str:
        return ", ".join(named(self.base, x) for x in value) if isinstance(value, list) else named(self.base, value)

    def _nothing(self, state: State, kinds: set[str]) -> tuple[Reply, ...]:
        say = self.base.phrase
        if "off-topic" in kinds or "hostile" in kinds:
            first: Reply = Say(say("say-off-topic"))
        elif "greeting" in kinds:
            first = Say(say("say-greeting"))
        elif "dont-know" in kinds and not state.asked:
            first = Say(say("say-nothing-asked"))
        elif state.asked:
            question = str(self.base.kind("decision")[state.asked]["text"])
            return (Say(say("say-not-an-answer", question=question)), self._question(state.asked))
        else:
            first = Say(say("say-understood-nothing"))
        return (first, *self._ask_again(state))

    def _unknown(self, state: State, slot: str, text: str) -> Turn:
        """ "Don't know" is an answer: the slot stays unknown and is not asked again."""
        d = self.base.kind("decision")[state.asked]
        safety = bool(self.base.kind("slot").get(slot, {}).get("safety"))
        enquiry = state.enquiry
        if slot != "circumstance":
            enquiry = enquiry.with_slot(slot, Said(UNKNOWN, text, 1.0, "answer"))
        state = state._replace(enquiry=enquiry, past=(*state.past, state.enquiry), words=(*state.words, text), asked="")
        first = Say(self.base.phrase("say-dont-know-safety" if safety else "say-dont-know"))
        after, replies = self._go_on(state._replace(asked_before=state.asked_before | {str(d["id"])}))
        return after, (first, *replies)

    def _answered(self, state: State, option: Mapping[str, Any], text: str) -> Turn:
        d = self.base.kind("decision")[state.asked]
        if option["value"] == UNKNOWN:
            return self._unknown(state, d["slot"], option["text"])
        judged = self._judged(state)
        enquiry = with_answer(judged, d["slot"], option["value"], option["text"])
        shown = worded(self.base, d["slot"], option["value"]) if d["slot"] != "circumstance" else option["text"]
        state = state._replace(
            enquiry=enquiry,
            past=(*state.past, state.enquiry),
            words=(*state.words, f"{text} ({option['text']})"),
            asked="",
        )
        after, replies = self._go_on(state._replace(asked_before=state.asked_before | {str(d["id"])}))
        return after, (Say(self.base.phrase("say-understood", parts=shown)), *replies)

    # doubts ----------------------------------------------------------------------------------------------------

    def _doubt_question(self, doubt: Doubt) -> Reply:
        if len(doubt.candidates) == 1:
            value = worded(self.base, doubt.slot, doubt.candidates[0])
            return Say(self.base.phrase("say-did-you-mean", words=doubt.words, value=value))
        values = " / ".join(f"{n}. {worded(self.base, doubt.slot, c)}" for n, c in enumerate(doubt.candidates, 1))
        return Say(self.base.phrase("say-which-one", words=doubt.words, values=values))

    def _settle(self, state: State, text: str) -> Turn | None:
        """The customer's word on a doubt; None when the words say something else altogether."""
        doubt, *rest = state.doubts
        reading = read(text, self.vocabulary, doubt.slot)
        kinds = {i.kind for i in reading.intents}
        value: Any = None
        bare = text.strip().rstrip(".)")
        if bare.isdigit() and 1 <= int(bare) <= len(doubt.candidates) and len(doubt.candidates) > 1:
            value = doubt.candidates[int(bare) - 1]
        elif doubt.slot in reading.understood:
            value = reading.understood[doubt.slot].value
        elif "yes" in kinds and len(doubt.candidates) == 1:
            value = doubt.candidates[0]
        elif "no" in kinds or "dont-know" in kinds:
            value = UNKNOWN
        if value is None:
            return None
        enquiry = state.enquiry
        listed = self.base.kind("slot").get(doubt.slot, {}).get("type") == "choices"
        if value != UNKNOWN:
            whole = [value] if listed and not isinstance(value, (list, tuple)) else list(value) if listed else value
            enquiry = enquiry.with_slot(doubt.slot, Said(whole, doubt.words, 1.0, "answer"))
        elif "dont-know" in kinds:
            enquiry = enquiry.with_slot(doubt.slot, Said(UNKNOWN, text, 1.0, "answer"))
        state = state._replace(
            enquiry=enquiry, past=(*state.past, state.enquiry), words=(*state.words, text), doubts=tuple(rest)
        )
        out: tuple[Reply, ...] = ()
        if value != UNKNOWN:
            out = (
                Say(
                    self.base.phrase(
                        "say-understood", parts=worded(self.base, doubt.slot, enquiry.said[doubt.slot].value)
                    )
                ),
            )
        if rest:
            return state, (*out, self._doubt_question(rest[0]))
        after, replies = self._go_on(state)
        return after, (*out, *replies)

    # going on --------------------------------------------------------------------------------------------------

    def _go_on(self, state: State) -> Turn:
        """The next question, or the advice."""
        judged = self._judged(state)
        if judged.screened.refer == "stop":
            return self._advice(state, 2, judged)
        if state.questions < MOST_QUESTIONS and not state.advised:
            q = next_question(self.engine, judged, state.asked_before)
            if q is not None:
                asked = state._replace(
                    asked=q.decision, asked_before=state.asked_before | {q.decision}, questions=state.questions + 1
                )
                return asked, (self._question(q.decision),)
        return self._advice(state, 2, judged)

    def _advice(self, state: State, layer: int, judged: Judged | None = None) -> Turn:
        if not _something(state.enquiry):
            return state, (Say(self.base.phrase("say-no-advice-yet")),)
        advice = advise(self.engine, state.enquiry, judged)
        return state._replace(advised=True, asked=""), (Advise(advice, layer),)

    def _question(self, decision: str) -> Ask:
        d = self.base.kind("decision")[decision]
        return Ask(decision, d["text"], tuple(o["text"] for o in d["options"]), d["help"], d.get("changes", ""))

    def _remind(self, state: State) -> tuple[Reply, ...]:
        """The question that is still open, in one line."""
        d = self.base.kind("decision").get(state.asked)
        return (Say(self.base.phrase("say-still-asked", question=d["text"])),) if d else ()

    def _ask_again(self, state: State) -> tuple[Reply, ...]:
        return (self._question(state.asked),) if state.asked else ()


def _something(enquiry: Enquiry) -> bool:
    return bool(enquiry.said or enquiry.circumstances or enquiry.mentioned)


def _doubt(u: Unclear) -> Doubt:
    return Doubt(u.slot, u.words, tuple(u.candidates))
