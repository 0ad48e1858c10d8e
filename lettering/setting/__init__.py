"""Words in a hand, broken for sense into rows, rows into a stack."""
