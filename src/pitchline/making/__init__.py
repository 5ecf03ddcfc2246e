"""Making and fitting: saw settings, jigs, templates, router layers, order of work, fitting, finishing."""
