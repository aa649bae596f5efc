"""Formulas: plain arithmetic over named quantities, checked unit by unit and never run as code."""
