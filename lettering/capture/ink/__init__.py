"""From a page to its ink: how much of each pixel is covered, and in which pieces."""
