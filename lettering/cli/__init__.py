"""One command a step; words in, words out."""
