"""benchleaf compiles repair procedures into bench cards and checklists."""

__version__ = "0.1.0"
