"""The subjects of `benchmeter compute`."""
