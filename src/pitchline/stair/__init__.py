"""The stair as it stands: nosings, strings, posts and walls, and the lines laid over them."""
