"""Floor 0: places in files, findings, rules and the data that travels with the package."""
