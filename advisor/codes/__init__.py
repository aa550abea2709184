"""Designations: how a drawing or order code is spelled, read and matched with a finish."""
