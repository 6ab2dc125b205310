"""Machines and weathers that obey no fitted law, and the score of what is said of them."""
