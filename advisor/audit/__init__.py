"""The curator's room: everything that checks the knowledge."""
