"""A body at a constant air round a region, and its tail."""
