"""The HTTP API: routes, schemas, problem answers."""
