"""What `enter` asks of each group of records besides readings."""
