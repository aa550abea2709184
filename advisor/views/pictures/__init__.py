"""Pictures of a written recommendation, as shapes: no pixels, no file, no outside program."""
