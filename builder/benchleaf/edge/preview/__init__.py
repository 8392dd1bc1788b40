"""The preview: a server on this machine that shows each edit, and what is wrong with it, as it is saved."""
