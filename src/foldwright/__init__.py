"""Foldwright: patterns for sheet shells, and what to change once the made parts are measured."""
