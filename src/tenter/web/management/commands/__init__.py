"""One module a command; `./run` is their door."""
