"""Quantities and codes in a line, one file a quantity."""
