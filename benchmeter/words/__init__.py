"""All words for people, and how numbers are written."""
