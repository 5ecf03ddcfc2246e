"""How long the steps take, and how the work grows; nothing here is a test."""
