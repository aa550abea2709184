"""A small knowledge folder of its own: two coats, one rule, one question, one word, without a fault of the files."""

from __future__ import annotations

from pathlib import Path

GOOD = """\
sources:
  - {id: trade-practice, title: "Common practice of the trade"}
topics:
  - {id: group-en, name: Place, text: "Rules on the place."}
  - {id: topic-rust, name: Rust, text: "Rust."}
slots:
  - {id: environment, name: place, type: choices, values: [indoor-dry, coastal]}
  - {id: strength, name: strength, type: text}
families:
  - {id: oiled, name: Oiled, material: carbon-steel, process: none, charges_hydrogen: "no", text: Oil., usual: oiled-plain}
  - {id: plate, name: Plate, material: carbon-steel, process: electroplated, charges_hydrogen: "yes", text: "Zinc plate."}
finishes:
  - {id: oiled-plain, name: Oiled, family: oiled}
  - {id: plate-8, name: "Plate 8 µm", family: plate}
facts:
  - {id: oil-rusts, text: "Oiled steel rusts by the sea.", about: [oiled], source: trade-practice, basis: practice}
cautions:
  - {id: rust-soon, topic: topic-rust, severity: warn, text: "It will rust soon.", because: [oil-rusts]}
rules:
  - id: en-90
    group: group-en
    strength: must
    text: "By the sea oil is too little."
    when: {environment: {in: [coastal]}}
    then:
      - {exclude: oiled}
      - {warn: rust-soon}
    because: [oil-rusts]
    cases:
      speaks: [{environment: [coastal]}]
      silent: [{environment: [indoor-dry]}]
decisions:
  - id: ask-place
    slot: environment
    order: 1
    text: "Where?"
    help: "Indoors or by the sea?"
    options:
      - {id: dry, text: "indoors", value: [indoor-dry]}
      - {id: sea, text: "by the sea", value: [coastal]}
terms:
  - {id: w-sea, say: ["by the sea"], slot: environment, value: [coastal]}
"""

USE = """\
slots:
  - {id: finish_asked, name: wish, type: choices}
  - {id: duty, name: duty, type: choices, values: [lifting, person]}
  - {id: part, name: part, type: choice, values: [hex-bolt, nut]}
  - {id: problem, name: trouble, type: choices, values: [red-rust]}
  - {id: chemical, name: substance, type: choices, values_of: chemical}
applications:
  - {id: pier, name: pier, say: [pier, jetty], environment: [coastal], text: "Salt air.", source: trade-practice, basis: practice}
  - id: pier-swing
    name: swing on a pier
    is_a: [pier]
    say: [swing]
    beside: [pier]
    not_beside: [door]
    duty: [person]
    endangered: user
    chemical: [brine]
    decides: [part]
    usual: [plate]
    never: [oiled]
documents:
  - id: doc-en-90
    name: EN 90
    say: ["en 90"]
    about: "Bolts for piers."
    says: {part: hex-bolt, duty: [lifting]}
    coats: [plate]
    forbids: [oiled]
    set: "yes"
    status: current
    source: trade-practice
    basis: practice
offers:
  - id: plated-hex
    part: [hex-bolt]
    size: {low_mm: 3, high_mm: 24}
    finish: [plate]
    availability: stocked
    source: trade-practice
    basis: practice
  - {id: oiled-nut, part: nut, finish: [oiled-plain], availability: not-made, source: trade-practice, basis: practice}
chemicals:
  - id: brine
    name: brine
    say: [brine]
    hazards:
      - {text: "Slippery.", families: [plate], caution: rust-soon, severity: warn, source: trade-practice, basis: practice}
    bands:
      - {concentration_pct: [0, 10], temperature_c: [0, 60], verdicts: {plate: bad}, source: trade-practice, basis: practice}
    decides: [part]
complaints:
  - {id: rusty, name: rust, say: [rusty], problem: red-rust, causes: [too-thin], now: ["Take a photograph."], stop: false}
causes:
  - id: too-thin
    name: coat too thin
    of: [rusty]
    for:
      - {when: {environment: {in: [coastal]}}, text: "It hung by the sea.", weight: strong, source: trade-practice}
    against:
      - {when: {environment: {in: [indoor-dry]}}, text: "It lay in a drawer.", weight: some}
    tell_apart: "Measure the coat."
    next: "Order a thicker coat."
"""


def write_knowledge(folder: Path, text: str = GOOD, **more: str) -> Path:
    """Write the files of a knowledge folder; `more` are further files by name."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "all.yaml").write_text(text, "utf-8")
    for name, content in more.items():
        (folder / f"{name}.yaml").write_text(content, "utf-8")
    return folder


def line_of(text: str, part: str) -> int:
    """The line (from 1) on which a part of the text first stands."""
    return text[: text.index(part)].count("\n") + 1
