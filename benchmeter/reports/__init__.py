"""One report model, one file a target."""
