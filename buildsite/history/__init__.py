"""Everything that runs git: working tree, commits and their contents, signatures."""
