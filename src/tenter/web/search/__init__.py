"""Looking for a client, a cloth or a page from wherever one is."""
