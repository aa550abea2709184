"""The kinds of nodes and edges of the knowledge graph, and the fields each kind may carry.

This is the one definition: reading checks against it, the JSON Schema for editors is generated from it.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from advisor.graph.schema import (
    Anything,
    Bool,
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

BASES = ("published", "practice", "memory")
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
"""Where a figure comes from. `published` needs `where` and `seen` (checked in the build step)."""

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
        "of": SELECTOR,
        "severity": Str(SEVERITIES),
        "if": CONDITION,
        "unless": CONDITION,
        "text": Str(),
        "to": Str(),
    }
)
VERBS = ("exclude", "conditional", "viability", "favour", "warn", "require", "refer", "note", "derive")

DESIGNATION = Struct(
    {
        "standard": Ref(("source",)),
        "write": Str(),
        "status": Str(("current", "legacy", "superseded", "withdrawn")),
        "note": Str(),
    },
    required=("standard", "write"),
)


class Kind(NamedTuple):
    """One node kind: its key in the files (plural), what it is, its fields."""

    name: str
    key: str
    purpose: str
    fields: Mapping[str, Type]
    required: tuple[str, ...]

    @property
    def type(self) -> Struct:
        return Struct({"id": Str(slug=True), **self.fields}, required=("id", *self.required))


def _kind(name: str, key: str, purpose: str, required: tuple[str, ...], /, **fields: Type) -> Kind:
    return Kind(name, key, purpose, fields, required)


_SIZE_ROW = Struct(
    {
        "over_mm": Num(0),
        "to_mm": Num(0),
        "tensile_mpa": Range(),
        "yield_mpa": Num(0),
        "proof_mpa": Num(0),
        "hardness_hrc": Range(),
        "hardness_hv": Range(),
        "hardness_hb": Range(),
        "hardness_hrb": Range(),
    }
)
"""One size range of a strength class. A single number as hardness is a maximum without a stated minimum."""

KINDS: tuple[Kind, ...] = (
    _kind(
        "source",
        "sources",
        "a document that facts cite",
        ("title",),
        title=Str(),
        body=Str(),
        edition=Str(),
        status=Str(("current", "superseded", "withdrawn", "undated")),
        superseded_by=Ref(("source",)),
        note=Str(),
    ),
    _kind(
        "fact",
        "facts",
        "one figure or statement with its source",
        ("text", "source", "basis"),
        about=ListOf(Ref(("family", "finish", "exposure", "strength", "caution", "source", "rule", "topic"))),
        quantity=Str(QUANTITIES),
        value=OneOf((Range(), Str())),
        unit=Str(),
        when=Str(),
        text=Str(),
        **CITE,
    ),
    _kind(
        "table",
        "tables",
        "a published table of figures",
        ("name", "columns", "rows", "source", "basis"),
        name=Str(),
        columns=ListOf(Str(), least=1),
        rows=ListOf(ListOf(Anything()), least=1),
        note=Str(),
        about=ListOf(Ref(("family", "finish", "exposure", "strength", "topic"))),
        **CITE,
    ),
    _kind(
        "family",
        "families",
        "a finish family of the contract",
        ("name", "material", "process", "text"),
        name=Str(),
        material=Str(
            (
                "carbon-steel",
                "stainless-steel",
                "nickel-alloy",
                "copper-alloy",
                "titanium",
                "aluminium",
                "weathering-steel",
            )
        ),
        process=Str(
            (
                "none",
                "conversion",
                "electroplated",
                "electroless",
                "hot-dipped",
                "mechanical",
                "diffusion",
                "dip-spin",
                "resin",
                "vapour-deposited",
                "base-material",
            )
        ),
        charges_hydrogen=Str(("yes", "slight", "no")),
        text=Str(),
        legacy=Bool(),
        stock=Str(("shelf", "common", "order")),
        usual=Ref(("finish",)),
        viability=MapOf(Str(VIABILITY)),
        figures=FIGURES,
        notes=ListOf(Str()),
    ),
    _kind(
        "finish",
        "finishes",
        "one buyable finish",
        ("name", "family"),
        name=Str(),
        family=Ref(("family",)),
        text=Str(),
        legacy=Bool(),
        hexavalent_chromium=Str(YES_NO_UNSTATED),
        cadmium=Str(YES_NO_UNSTATED),
        pfas=Str(YES_NO_UNSTATED),
        lead=Str(YES_NO_UNSTATED),
        substances=ListOf(Str()),
        colour=ListOf(Str(slug=True)),
        passivation=Str(),
        sealed=Bool(),
        lubricated=Bool(),
        top_coat=Bool(),
        grade=Str(),
        strength_classes=ListOf(Str()),
        stock=Str(("shelf", "common", "order")),
        conducts=Str(("yes", "limited", "no")),
        paint_base=Str(("good", "limited", "no")),
        designations=ListOf(DESIGNATION),
        viability=MapOf(Str(VIABILITY)),
        figures=FIGURES,
        notes=ListOf(Str()),
        supersedes=ListOf(Ref(("finish",))),
        equivalent_to=ListOf(Ref(("finish",))),
    ),
    _kind(
        "set",
        "sets",
        "a named group of families and finishes that rules speak of",
        ("name", "of"),
        name=Str(),
        of=Names(),
        **{"except": Names()},
        where=Anything(),
    ),
    _kind(
        "slot",
        "slots",
        "something an enquiry can say",
        ("name", "type"),
        name=Str(),
        type=Str(("choice", "choices", "number", "size", "text", "yes-no")),
        values=ListOf(Str()),
        unit=Str(),
        safety=Bool(),
        derived=Bool(),
        says=Str(),
        low=Num(),
        high=Num(),
        text=Str(),
    ),
    _kind(
        "strength",
        "strengths",
        "a strength class or grade",
        ("name", "grade", "product", "material", "band", "text", "source", "basis"),
        name=Str(),
        grade=Str(),
        product=Str(("bolt", "nut", "washer", "set-screw", "screw", "stud", "spring-washer")),
        material=Str(("carbon-steel", "stainless-steel", "copper-alloy", "nickel-alloy", "titanium", "aluminium")),
        band=Str(("H0", "H1", "H2", "H3", "H4", "CASE", "NONE")),
        text=Str(),
        head_mark=Str(),
        structural=Bool(),
        system=Str(("metric", "inch", "both")),
        by_size=ListOf(_SIZE_ROW),
        tensile_mpa=Range(),
        yield_mpa=Num(0),
        proof_mpa=Num(0),
        hardness_hrc=Range(),
        hardness_hv=Range(),
        hardness_hb=Range(),
        hardness_hrb=Range(),
        case_hv=Num(0),
        case_hrc=Num(0),
        compressive=Bool(),
        also=ListOf(Str()),
        hardness_scale=Str(("HRC", "HV", "HB", "HRB")),
        note=Str(),
        **CITE,
    ),
    _kind(
        "exposure",
        "exposures",
        "a place, category, regulation, metal in contact or part",
        ("name", "group", "text"),
        name=Str(),
        group=Str(
            (
                "environment",
                "category",
                "regulation",
                "mating",
                "timber",
                "chemical",
                "market",
                "duty",
                "part",
                "circumstance",
            )
        ),
        text=Str(),
        corrosivity=ListOf(Str(("C1", "C2", "C3", "C4", "C5", "CX", "Im1", "Im2", "Im3"))),
        wet=Bool(),
        salty=Bool(),
        indoors=Bool(),
        harshness=Num(0, 100),
        anodic_index_v=OneOf((Ref(("fact",)), FIGURE)),
        figures=FIGURES,
        facts=ListOf(Ref(("fact", "table"))),
        possible_bands=ListOf(Str()),
        valid_from=Str(),
        valid_until=Str(),
        because=BECAUSE,
    ),
    _kind(
        "topic",
        "topics",
        "a caution topic of the contract or a rule group",
        ("name", "text"),
        name=Str(),
        text=Str(),
        order=Num(0),
    ),
    _kind(
        "caution",
        "cautions",
        "a warning in plain words",
        ("topic", "severity", "text"),
        topic=Ref(("topic",)),
        severity=Str(SEVERITIES),
        text=Str(),
        do=Str(),
        because=BECAUSE,
    ),
    _kind(
        "rule",
        "rules",
        "when something holds, what follows, and why",
        ("group", "strength", "text", "when", "then", "because"),
        group=Ref(("topic",)),
        strength=Str(("must", "should")),
        text=Str(),
        when=CONDITION,
        if_unknown=Str(("ignore", "apply", "ask")),
        then=ListOf(ACTION, least=1),
        because=BECAUSE,
        ask=Str(),
        cases=Struct(
            {"speaks": ListOf(ENQUIRY, least=1), "silent": ListOf(ENQUIRY, least=1)}, required=("speaks", "silent")
        ),
    ),
    _kind(
        "code",
        "codes",
        "a written form of a coating designation, and where its letters are explained",
        ("name", "document", "rank", "source", "basis"),
        name=Str(),
        document=Str(slug=True),
        edition=Str(),
        status=Str(("current", "legacy", "superseded", "withdrawn")),
        rank=Num(0, 100),
        named=Str(),
        pattern=Str(),
        parts=MapOf(Str()),
        must=ListOf(Str()),
        alone=Bool(),
        defaults=MapOf(Anything()),
        numbers=MapOf(Str()),
        sets=MapOf(Anything()),
        steps=ListOf(
            Struct(
                {"by": MapOf(Str()), "table": Ref(("table",)), "gives": MapOf(Str()), "only": MapOf(Str()), "optional": Bool()},
                required=("by", "table"),
            )
        ),
        needs=MapOf(Str()),
        superseded_by=Str(),
        equivalents=ListOf(Str()),
        notes=ListOf(Str()),
        **CITE,
    ),
    _kind(
        "decision",
        "decisions",
        "a question that fills a slot",
        ("slot", "text", "help", "options", "order"),
        slot=Ref(("slot",)),
        text=Str(),
        help=Str(),
        order=Num(0),
        safety=Bool(),
        relevant=CONDITION,
        changes=Str(),
        assume=Struct({"value": Anything(), "because": Str(), "likely": Num(0, 1)}, required=("because",)),
        options=ListOf(
            Struct(
                {"id": Str(slug=True), "text": Str(), "value": Anything(), "leads_to": Ref(("decision",))},
                required=("id", "text", "value"),
            ),
            least=1,
        ),
        free=Str(),
    ),
    _kind(
        "term",
        "terms",
        "words people use and what they mean",
        ("say",),
        say=ListOf(Str(), least=1),
        slot=Ref(("slot",)),
        value=Anything(),
        also=ENQUIRY,
        names=Ref(("family", "finish", "exposure", "strength", "caution", "source", "topic", "decision", "fact")),
        circumstance=Str(slug=True),
        intent=Str(slug=True),
        lang=Str(("en", "de", "fr", "es")),
        certainty=Num(0, 1),
        exact=Bool(),
        answering=Ref(("slot",)),
        gives_way=Bool(),
        from_object=Bool(),
        number=Num(-64, 1_000_000),
        note=Str(),
    ),
    _kind("phrase", "phrases", "a sentence the program says", ("text",), text=Str(), note=Str()),
    _kind(
        "weight",
        "weights",
        "weights and scales of the ranking",
        ("values",),
        name=Str(),
        values=MapOf(Num()),
        text=Str(),
    ),
    _kind(
        "reference",
        "references",
        "an enquiry with the finish competent engineers choose",
        ("enquiry", "expect", "text", "basis"),
        enquiry=ENQUIRY,
        expect=ListOf(Ref(("family",)), least=0),
        never=Names(),
        text=Str(),
        source=Ref(("source",)),
        basis=Str(BASES),
        deviation=Str(),
        refer=Bool(),
    ),
)
"""Every kind, in the order in which the graph is built."""

BY_KEY: Mapping[str, Kind] = {k.key: k for k in KINDS}
BY_NAME: Mapping[str, Kind] = {k.name: k for k in KINDS}

EDGE_KINDS = (
    "supports",
    "cites",
    "excludes",
    "requires",
    "warns",
    "refers",
    "leads-to",
    "fills",
    "names",
    "broader",
    "supersedes",
    "equivalent-to",
    "about",
    "favours",
)
