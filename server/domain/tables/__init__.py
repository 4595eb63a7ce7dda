"""Published tables as CSV files, each with its sources, and the one function that reads them."""
