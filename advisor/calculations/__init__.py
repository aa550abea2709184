"""The calculators an engineer works by hand, over the base."""
