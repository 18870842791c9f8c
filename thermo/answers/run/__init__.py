"""A run that is over: what was read, what was lost, and what most likely went wrong."""
