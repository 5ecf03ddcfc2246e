"""From what the user asks for to a balustrade laid out in the elevation of its edge."""
