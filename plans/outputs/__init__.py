"""What is written for a person: PDF, HTML, and the folder that holds them."""
