"""What a client is handed after a sitting: the papers, the phone page, the picture for the lock screen, and a mail."""
