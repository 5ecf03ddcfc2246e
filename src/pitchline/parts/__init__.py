"""Each piece to be made, exactly described: blank, end cuts, grooves, holes and round-overs."""
