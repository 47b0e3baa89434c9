"""The application with all its views, the server, and the first view."""
