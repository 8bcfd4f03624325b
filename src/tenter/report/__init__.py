"""What is handed over: said once in `content`, drawn by `pdf`."""
