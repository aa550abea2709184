"""A conversation as a pure function, and its journal. Touches no terminal."""
