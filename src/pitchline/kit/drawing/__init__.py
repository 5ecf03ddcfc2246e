"""Drawings authored once as marks on a sheet, then written as DXF, SVG and PDF at exact scale.

The way of a drawing, one module a step:

    marks      what the author says: strokes, fills, dimensions, labels (model mm, y up)
    author     marks -> ink: plain lines, arcs, arrowheads and letters, laid out for the drawing's scale
    svg, dxf   the same ink as a picture of exact paper size, and as a CAD file in real size
    pages      pictures, tables and text on numbered sheets with a title block -> PDF

``lettering`` measures and outlines the bundled drawing-office letters, ``scales`` knows the standard scales.
"""
