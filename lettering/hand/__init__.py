"""Takes of letters as one measured hand: spacing, kerning, which take next."""
