"""From pieces of ink and a reading to letters."""
