"""Stresses, deflections and a self-check of ladder chassis that were measured with a tape."""

__all__ = ["__version__"]

__version__ = "0.1.0"
