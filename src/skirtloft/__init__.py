"""Design, flatten and cut the flexible skirt of a light hovercraft."""

__version__ = "0.1.0"
