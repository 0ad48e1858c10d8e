"""Where the bubbles of a spread go."""
