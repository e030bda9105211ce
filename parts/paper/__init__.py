"""Paper: pages of lines, arcs and words in mm, and how they become PDF or SVG."""
