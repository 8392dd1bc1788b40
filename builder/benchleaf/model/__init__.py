"""Floor 2: the frozen model of shop, machine, block and procedure."""
