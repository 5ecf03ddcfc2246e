"""The finished design measured afresh against the rules of a place."""
