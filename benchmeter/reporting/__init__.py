"""One report model, one file a target; all wording and number formatting."""
