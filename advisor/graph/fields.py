"""Fields that several kinds of nodes share: citations, figures, selectors, actions of rules, designations."""

from __future__ import annotations

from advisor.graph.schema import (
    Anything,
    ListOf,
    MapOf,
    Names,
    Num,
    OneOf,
    Range,
    Ref,
    Str,
    Struct,
    Type,
)

BASES = ("published", "derived", "practice", "memory")
SEEN = ("original", "quoted")
SEVERITIES = ("note", "warn", "stop")
VIABILITY = ("good", "weak", "none")
YES_NO_UNSTATED = ("yes", "no", "unstated")

QUANTITIES = (
    "thickness_um",
    "salt_spray_white_h",
    "salt_spray_red_h",
    "salt_spray_white_push_h",
    "salt_spray_red_push_h",
    "relative_cost",
    "friction",
    "k_factor",
    "temperature_ok_c",
    "temperature_limit_c",
    "temperature_min_c",
    "anodic_index_v",
    "life_band_years",
    "smallest_size_mm",
    "largest_size_mm",
    "coating_mass_g_m2",
    "hardness_hv",
    "lead_time",
    "conductivity",
    "paintability",
    "thread",
    "recess",
    "repair",
    "storage",
    "hydrogen",
    "appearance",
    "substances",
    "chromium",
    "process",
    "strength",
    "designation",
    "regulation",
    "corrosion",
    "statement",
)
"""What a fact can be about. `statement` is a fact in words only."""

CITE: dict[str, Type] = {
    "source": Ref(("source",)),
    "where": Str(),
    "basis": Str(BASES),
    "seen": Str(SEEN),
}
"""Where a figure comes from. `published` needs `where` and `seen`, `derived` (own arithmetic from cited figures) needs
`where` to name these figures (checked in the build step)."""

FIGURE = Struct(
    {
        "value": OneOf((Range(), Str())),
        "unit": Str(),
        "when": Str(),
        "text": Str(),
        **CITE,
    },
    required=("value", "source", "basis"),
)
FIGURES = MapOf(OneOf((Ref(("fact",)), FIGURE, ListOf(OneOf((Ref(("fact",)), FIGURE)), least=1))), keys=QUANTITIES)
"""Quantity -> one figure, or several (the first is used, the others are shown with their editions)."""

INLINE_FACT = Struct(
    {"text": Str(), "quantity": Str(QUANTITIES), "value": Range(), "unit": Str(), "when": Str(), **CITE},
    required=("text", "source", "basis"),
)
BECAUSE = ListOf(OneOf((Ref(("fact", "table")), INLINE_FACT)))
CONDITION = Anything()
SELECTOR = OneOf((Str(slug=True), Names(), Struct({"of": Names(), "except": Names(), "where": Anything()})))
ENQUIRY = MapOf(Anything())
"""Slot -> value, as in an enquiry."""

ANSWERS = ("yes", "no", "depends", "figure", "choice", "none")
"""What the answer to a question comes to: `none` tells or explains something."""

ACTION = Struct(
    {
        "exclude": SELECTOR,
        "conditional": SELECTOR,
        "viability": Str(VIABILITY),
        "favour": Num(-5, 5),
        "warn": Ref(("caution",)),
        "require": Str(),
        "refer": Str(("advise", "stop")),
        "note": Str(),
        "derive": MapOf(Anything()),
        "answer": Str(ANSWERS),
        "of": SELECTOR,
        "severity": Str(SEVERITIES),
        "if": CONDITION,
        "unless": CONDITION,
        "text": Str(),
        "to": Str(),
    }
)
VERBS = ("exclude", "conditional", "viability", "favour", "warn", "require", "refer", "note", "derive", "answer")

DESIGNATION = Struct(
    {
        "standard": Ref(("source",)),
        "write": Str(),
        "status": Str(("current", "legacy", "superseded", "withdrawn")),
        "note": Str(),
    },
    required=("standard", "write"),
)
