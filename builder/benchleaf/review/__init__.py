"""Review and release: signatures over cards, what state follows from them, and what changed between two cards."""
