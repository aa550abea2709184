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
