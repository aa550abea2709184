"""What a branch's own layer may say: it adds to the base and may be stricter, never looser than a safety rule."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.graph.parts import Node
from advisor.graph.source import TellFault

LOOSENING = ("viability", "derive")
"""Actions that a rule of the house may not take: they lift what does not last, or fill in what nobody told."""
SAFE_VIABILITY = ("none",)
AGREEING = "yes"
"""The verdict that an answer of the house may not give: it would agree to what a safety rule refuses."""
CHARGES = "charges_hydrogen"
HARMLESS = "no"


def check_layer(node: Node, base: Mapping[str, Node], report: TellFault) -> None:
    """Report what would loosen the base: `base` holds the nodes that the layer stands on."""
    held = base.get(node.id)
    if held is not None:
        report(
            node.item,
            "KB060",
            f"'{node.id}' is a {held.kind} of the base ({held.file}:{held.line})",
            "a layer adds to the base and changes nothing of it; give yours an id of its own",
        )
        return
    if node.kind == "rule":
        _rule(node, report)
    elif node.kind == "family":
        _family(node, report)


def _rule(node: Node, report: TellFault) -> None:
    """A rule of the house may take away, demand, warn and hand over, and favour what is left."""
    for action in node.item.value["then"].value:
        verbs = action.value
        for verb in LOOSENING:
            if verb in verbs and verbs[verb].value not in SAFE_VIABILITY:
                report(
                    action,
                    "KB061",
                    f"'{verb}' could lift what the base bars, or fill in what nobody told",
                    "a rule of the house may only be stricter: exclude, require, warn, refer, or favour",
                )
        if "answer" in verbs and verbs["answer"].value == AGREEING:
            report(
                action, "KB062", "an answer of the house says yes", "let the rules of the base agree; say no or depends"
            )


def _family(node: Node, report: TellFault) -> None:
    """A family of a layer's own stands in no set of those that charge hydrogen, so it has to say that it does not."""
    told = node.data.get(CHARGES)
    if told != HARMLESS:
        report(
            node.item,
            "KB063",
            f"no safety rule knows this family, and it does not say {CHARGES}: {HARMLESS}",
            "say so where it is true; else add it to the base, in the sets of hydrogen",
        )
