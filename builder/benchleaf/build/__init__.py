"""Floor 7: the whole way from a workspace to the files in out/."""
