"""The finished design measured afresh against the rules: no check calls the code that laid the design out."""
