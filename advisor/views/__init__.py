"""Advice as people and programs read it: text, pages, pictures, data."""
