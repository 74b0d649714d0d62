"""Scripts that bring a casebook from any older schema to the newest. A script that has been released never changes."""
