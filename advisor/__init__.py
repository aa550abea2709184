"""An offline adviser on the corrosion protection of threaded fasteners."""

__version__ = "0.1.0"
