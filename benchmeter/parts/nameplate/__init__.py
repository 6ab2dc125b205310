"""What is printed on a part, read as it is typed."""
