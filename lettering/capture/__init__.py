"""From a photo of paper to letters in ink."""
