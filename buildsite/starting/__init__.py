"""What begins: a laboratory's archive, and a record filled in with what is known."""
