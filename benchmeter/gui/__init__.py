"""The window: Qt models, widgets, plot, palettes. It shows and never decides."""
