"""What the illustrator writes, as plain values."""
