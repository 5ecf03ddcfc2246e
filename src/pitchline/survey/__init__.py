"""What was read at the stair, adjusted by least squares into points that carry their uncertainty."""
