"""Floor 1: from the bytes of a workspace to checked trees with positions."""
