"""The conversation on a terminal or a pipe: prompt, journal files, history, replay."""
