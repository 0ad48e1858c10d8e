"""The same steps as the commands, on a local page in the browser."""
