"""Floor 3: the facts and formulas of the trade; nothing here knows a procedure."""
