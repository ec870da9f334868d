"""JSON for the phone and for other programs."""
