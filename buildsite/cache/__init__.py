"""What a build keeps for the next one: values, what they were made of, where."""
