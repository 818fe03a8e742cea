"""The Kivy app: what people see, hear and press."""
