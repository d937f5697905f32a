"""Checks: is what the lesson says true, readable and safe? Each gives findings."""
