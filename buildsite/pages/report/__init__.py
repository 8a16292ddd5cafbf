"""The page of a test: report, record, result, points and curve."""
