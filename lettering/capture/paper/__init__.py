"""From a picture of paper to the page seen straight from above, and its size."""
