"""The session behind the pages: the thread, the relay, the model, what waits on a worker."""
