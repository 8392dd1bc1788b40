"""What can go wrong while a document is drawn, told in one sentence."""


class RenderFault(Exception):
    """A document could not be drawn; `str()` is a sentence for the writer."""


class ThemeFault(RenderFault):
    """A theme is broken; `str()` names the theme, the file and what is wrong."""
