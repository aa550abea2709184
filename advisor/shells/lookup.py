"""lookup: the cards of the nodes that fit some words."""

from __future__ import annotations

from advisor.dialogue.working_out import look_up
from advisor.errors import UsageError
from advisor.shells.given import Call
from advisor.shells.opening import open_told
from advisor.shells.screen import encoded, width, write
from advisor.shells.values import one_text
from advisor.views import data
from advisor.views.card_text import cards_text
from advisor.views.layout import wrap


def run(call: Call) -> int:
    """advisor lookup WORDS… [--json]"""
    base = open_told(call.settings)
    words = one_text(call.many("text"))
    cards = look_up(base, words)
    if not cards:
        raise UsageError(
            f"nothing is known about '{words[:60]}'; try other words, for example: advisor lookup zinc flake"
        )
    if call.has("json"):
        out = data.envelope(base, "lookup")
        data.add_cards(base, out, cards)
        write(encoded(out))
        return 0
    for line in (*cards_text(base, cards, width()), "", *wrap(base.phrase("say-closing"), width())):
        write(line)
    return 0
