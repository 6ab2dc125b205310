"""What `benchmeter compute` can compute, one file a subject."""
