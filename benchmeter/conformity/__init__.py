"""Judging a part: labels and ratings, accuracy and uncertainty, decision rule, verdict. Pure."""
