"""Engineering drawings of a report page as SVG with real text: chassis, diagrams of the rails, sections, repair plates."""
