"""Practice, quiz and sign-off."""
