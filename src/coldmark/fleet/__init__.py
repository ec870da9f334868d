"""What needs many machines or many tasks at once. No Django."""
