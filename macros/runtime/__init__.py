"""Builds the browser's Python: `build.py` says how; the other files are its steps."""
