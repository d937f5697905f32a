"""What was said: words with times, and the readers that find them in people's files."""
