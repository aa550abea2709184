"""Help: how to find the answer to the open question, a page on one subject, or all that can be typed."""

from __future__ import annotations

from advisor.dialogue.going_on import remind
from advisor.dialogue.state import Desk, Replies, State
from advisor.graph.wording import inside


def helped(desk: Desk, state: State, text: str) -> Replies:
    """The help that a line asks for and nothing else ("help", "how do I tell", "help torque"); none for other lines."""
    bare = text.lower().strip(" .!?")
    words = bare.split()
    asked = bare in desk.base.role_words("help-here") or text.strip() == "?"
    if asked and state.asked:
        d = desk.base.decisions[state.asked]
        return (desk.say("say-help-hint", help=d.help), desk.say("say-help-free", free=d.free))
    page = _page(desk, words[1:]) if words[:1] == ["help"] else ""
    if not page:
        return ()
    names = "; ".join(sorted((inside(f.name) for f in desk.base.families.values()), key=str.lower))
    return (desk.say(page, finishes=names), *remind(desk, state))


def _page(desk: Desk, words: list[str]) -> str:
    """The page on what stands behind the word help; empty where there is none."""
    pages = desk.base.role_words("help-pages")
    return next((f"help-page-{p}" for p in pages if not set(desk.base.role_words(f"help-{p}")).isdisjoint(words)), "")
