"""Pure calculations of the trade: no graph, no files, no words of the user."""
