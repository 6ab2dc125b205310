"""One file a wire format: its table in a profile, decoder, conversation and checks."""
