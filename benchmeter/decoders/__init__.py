"""From bytes to indications, one file a wire format. No input or output, no clock."""
