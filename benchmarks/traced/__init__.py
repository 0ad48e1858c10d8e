"""What the tracing benchmark measures with."""
