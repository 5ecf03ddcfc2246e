"""Drawings authored once as marks on a sheet, then written as DXF, SVG and PDF at exact scale."""
