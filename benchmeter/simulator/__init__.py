"""Virtual instruments, parts and machines: met where a session is opened, and nowhere else."""
