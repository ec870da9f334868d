"""The job card: built once from plain data, drawn by the phone, checked here and there by the same gates."""
