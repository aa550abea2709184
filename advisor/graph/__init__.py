"""The knowledge graph: YAML read and checked, compiled, traced and audited. Knows no language."""
