"""Floor 6½: signatures over cards, the state that follows from them, and what changed between two cards."""
