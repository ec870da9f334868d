"""The Django project: settings, addresses and the door the server comes in by."""
