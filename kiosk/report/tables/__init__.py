"""Tables for spreadsheets, programs and terminals."""
