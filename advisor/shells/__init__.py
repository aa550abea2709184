"""The only place with terminals, files and clocks: the commands."""
