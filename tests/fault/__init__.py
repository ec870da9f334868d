"""The phone's outbox against a real server, through a network that fails in every way that networks fail."""
