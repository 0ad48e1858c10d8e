"""The work on disk, in and out: book file, placements, images, UFO."""
