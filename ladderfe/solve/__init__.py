"""Assemble, hold, factorise once, solve for all cases."""
