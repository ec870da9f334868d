"""An invented business with invented machines, people and oils."""
