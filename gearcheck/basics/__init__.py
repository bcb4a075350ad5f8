"""Errors, notices, methods, results, tables and units: what every room stands on."""
