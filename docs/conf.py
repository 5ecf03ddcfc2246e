"""How the documentation is built: Sphinx, MyST and furo; warnings are errors."""

import sys
from pathlib import Path

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE))

from validation_table import write_page  # noqa: E402  # it stands beside this file

from pitchline import __version__  # noqa: E402

write_page()

project = "pitchline"
author = "The pitchline makers"
project_copyright = "the pitchline makers, Apache-2.0"
release = __version__
extensions = ["myst_parser"]
exclude_patterns = ["_build", "examples"]
html_theme = "furo"
html_title = "pitchline"
html_show_sphinx = False
myst_heading_anchors = 3
myst_enable_extensions = ["deflist"]
