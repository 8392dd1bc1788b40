"""Floor 4: the checks. Each pass takes the model and earlier facts and returns facts and findings."""
