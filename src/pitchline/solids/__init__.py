"""Parts as solids: do they fit, what do they look like, the scene for a viewer.

``mesh`` holds blocks and triangles in plain arrays, ``context`` the stair around the parts, ``colours`` what they
look like; ``solid`` makes solids of parts and finds overlaps and gaps; ``glb`` writes the scene; ``facets`` and
``picture`` find what is seen of it from one side, and ``drawn`` puts that on paper. Only ``solid`` uses the solid
modeller, and only when it is called.
"""
