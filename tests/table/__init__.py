"""The light table: its server asked as an attacker would, its page used as an illustrator does."""
