"""What each page shows, as frozen values made by pure functions; no Qt, so any surface draws it."""
