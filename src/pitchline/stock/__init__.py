"""What a workshop has and buys: the rack, the need of a design's parts, the plan that meets it, what it costs."""
