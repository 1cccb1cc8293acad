"""Every error the service raises on purpose, as one tree.

::

    ServiceError
    └── SheetError         a file that cannot be read as a job at all
"""

from __future__ import annotations


class ServiceError(Exception):
    """Base of every error raised on purpose by this package."""


class SheetError(ServiceError):
    """A file that cannot be read as a job; the message says what to do."""
