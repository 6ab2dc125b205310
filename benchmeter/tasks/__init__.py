"""What is done with all of it: the one place that both entrances call."""
