"""What a person gets to see: pictures and files of results."""
