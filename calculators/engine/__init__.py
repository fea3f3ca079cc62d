"""The engine: figures, units, rules and their working. The rules themselves stand one folder up."""
