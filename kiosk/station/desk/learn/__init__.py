"""Practice, quiz, progress, sign-off."""
