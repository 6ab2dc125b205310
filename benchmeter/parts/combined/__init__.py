"""What several measurements of a part say together."""
