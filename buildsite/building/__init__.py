"""What the processes of a build do: inputs, and tests rendered and written."""
