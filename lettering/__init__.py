"""Letters a picture book's speech in its illustrator's own hand."""
