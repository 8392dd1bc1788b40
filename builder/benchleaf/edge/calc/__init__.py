"""The calculations of `benchleaf calc`: what each takes and gives, and the trade's functions that it calls."""
