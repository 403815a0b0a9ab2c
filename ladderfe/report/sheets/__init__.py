"""Engineering drawings of a report page as SVG with real text."""
