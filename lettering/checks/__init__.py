"""Questions asked of a finished spread, each answered by findings."""
