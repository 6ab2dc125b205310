"""The check of one part as a fold: leads, safety, what was taken, what to do next."""
