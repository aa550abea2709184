"""From an utterance to slots with certainty. Decides nothing."""
