"""DejaVu Sans Condensed, regular and bold, with its licence and a table of its widths."""
