"""How a solved job is made and fitted: what the workshop needs beside the drawings."""
