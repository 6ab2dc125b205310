"""One file a wire format. No input or output, no clock."""
