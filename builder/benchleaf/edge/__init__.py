"""Floor 8: the command line and its reports."""
