"""The uncertainty of a compaction test: inputs, model, budget, and what is reported."""
