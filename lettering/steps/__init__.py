"""The work in the illustrator's order: read, think, write."""
