"""Parts as solids: do they fit, what do they look like, the scene for a viewer.

``mesh`` holds triangles in plain arrays; ``solid`` makes solids of parts and finds overlaps and gaps; ``context``
is the stair around them; ``glb`` writes the scene, ``picture`` draws it in lines and tints. Only ``solid`` uses
the solid modeller, and only when it is called.
"""
