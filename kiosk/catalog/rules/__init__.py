"""Reads what leagues and sports ask for, packs and faces."""
