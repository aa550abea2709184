"""Looking things up: nodes that fit words, and the card of a node."""
