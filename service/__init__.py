"""Everything with a side effect: spreadsheets in, documents out, HTTP, job store, command line."""
