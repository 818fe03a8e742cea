"""Reads rosters: tables, headings, cells, and what is doubtful in them."""
