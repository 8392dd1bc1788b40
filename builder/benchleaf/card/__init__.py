"""Floor 5: the compiled card, plain data from which every document is made."""
