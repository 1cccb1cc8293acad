"""Every error the service raises on purpose, as one tree.

::

    ServiceError
    ├── SheetError         a file that cannot be read as a job at all
    ├── RefusedError       a job that cannot be planned; carries every finding
    ├── BusyError          too many ask for the same at once; later there is room
    ├── PartFailedError    a part of a job failed for good; the message names it
    ├── StoreDownError     the job store cannot be reached just now
    ├── UnstorableError    something that the job store cannot keep, now or later
    ├── UnknownKeyError    no such API key
    ├── AddressError       a web address that nothing is sent to
    ├── SettingsError      a setting of the service that makes no sense
    ├── PaperError         a wish about papers or labels that cannot be printed
    ├── LookupFormatError  a plan's lookup file of another version
    ├── RackError          a wish that the leftovers on the rack do not allow
    │   ├── UnknownPieceError
    │   ├── PieceTakenError    a piece that another job has reserved
    │   └── RackFullError
    └── JobError           a wish that a job's state does not allow
        ├── UnknownJobError
        ├── MoveError      a state that cannot follow the present one
        ├── StaleClaimError    a claim that somebody else has taken over
        ├── QueueFullError     the tenant has too much waiting already
        ├── KeyReusedError     one idempotency key for two different requests
        ├── UnknownHookError
        └── TooManyHooksError
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from service.sheets.findings import Finding


class ServiceError(Exception):
    """Base of every error raised on purpose by this package."""


class SheetError(ServiceError):
    """A file that cannot be read as a job; the message says what to do."""


class RefusedError(ServiceError):
    """A job that cannot be planned as it stands; ``findings`` says why, cell by cell."""

    def __init__(self, findings: tuple[Finding, ...]) -> None:
        super().__init__("\n".join(f"{finding.address}: {finding.message}" for finding in findings))
        self.findings = findings

    def __reduce__(self) -> tuple[type[RefusedError], tuple[tuple[Finding, ...]]]:
        """Return what rebuilds this error on the other side of a process border."""
        return (RefusedError, (self.findings,))


class BusyError(ServiceError):
    """Too many ask at once for what a few may have; the same call may go through a moment later."""


class PartFailedError(ServiceError):
    """A part of a job failed for good; the message names the part and what to try."""


class StoreDownError(ServiceError):
    """The job store cannot be reached just now; the same call may go through later."""


class UnstorableError(ServiceError, ValueError):
    """Something that the job store cannot keep, such as a NUL character; trying again does not help."""


class UnknownKeyError(ServiceError, LookupError):
    """No such API key."""


class AddressError(ServiceError, ValueError):
    """A web address that nothing is sent to; the message says why."""


class LookupFormatError(ServiceError):
    """A plan's lookup file that another version of this package wrote; the message names both formats."""


class SettingsError(ServiceError, ValueError):
    """A setting of the service that makes no sense; the message says what to write."""


class PaperError(ServiceError, ValueError):
    """A wish about papers or labels that cannot be printed; the message says what to change."""


class RackError(ServiceError):
    """A wish that the leftovers on the rack do not allow; the message names the pieces."""


class UnknownPieceError(RackError, LookupError):
    """No such piece on this tenant's rack."""


class PieceTakenError(RackError):
    """A piece is reserved by another job, or gone; nothing was reserved."""


class RackFullError(RackError):
    """The rack holds as many pieces as its rules allow."""


class JobError(ServiceError):
    """A wish that a job's state does not allow."""


class UnknownJobError(JobError, LookupError):
    """No such job, or none that this tenant may see."""


class MoveError(JobError):
    """A state that cannot follow the present one."""


class StaleClaimError(JobError):
    """The part was handed to somebody else in the meantime, or is no longer wanted."""


class QueueFullError(JobError):
    """The tenant has as many parts waiting as it may have."""


class KeyReusedError(JobError):
    """An idempotency key was used before, for a different request."""


class UnknownHookError(JobError, LookupError):
    """No such webhook, or none that this tenant may see."""


class TooManyHooksError(JobError):
    """The tenant has as many webhooks as it may have."""
