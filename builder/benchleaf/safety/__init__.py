"""The state engine between model and passes: what stands how, what may be there, whom it reaches, what is put in."""
