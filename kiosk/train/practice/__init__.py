"""One garment in practice: what is asked, helped, noted; sign-off."""
