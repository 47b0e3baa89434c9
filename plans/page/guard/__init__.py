"""Who may ask the page at all, and how large what is sent may be."""
