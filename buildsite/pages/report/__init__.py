"""The page of each test: report, record, result, points and curve."""
