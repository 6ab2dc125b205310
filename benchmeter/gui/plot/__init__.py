"""The plot. Imported after the first paint only: it brings pyqtgraph and numpy with it."""
