"""One file a format: svg, png."""
