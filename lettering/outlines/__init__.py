"""From ink to clean curves."""
