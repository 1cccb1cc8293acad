"""A job store in memory: for unit tests, and the plainest statement of what a store does."""

from __future__ import annotations

import threading
import time
from collections import Counter
from collections.abc import Callable, Collection, Iterable, Sequence
from copy import copy
from dataclasses import replace
from typing import TypeVar

from service.jobs.records import ApiKey, Hook, Job, JobState, Letter, Part, PartState
from service.jobs.store import Ledger, PageStart, UsedKey
from service.measures import QueueReading

Result = TypeVar("Result")

_ACTIVE = {JobState.QUEUED, JobState.CHECKING, JobState.SOLVING}
_OPEN = {PartState.QUEUED, PartState.RUNNING}


class _MemoryLedger:
    def __init__(self, clock: Callable[[], float]) -> None:
        self._clock = clock
        self._jobs: dict[str, Job] = {}
        self._parts: dict[str, Part] = {}
        self._keys: dict[tuple[str, str], UsedKey] = {}
        self._api_keys: dict[str, ApiKey] = {}
        self._hooks: dict[str, Hook] = {}
        self._letters: dict[str, Letter] = {}

    def restart_point(self) -> _MemoryLedger:
        copied = copy(self)
        copied._jobs, copied._parts, copied._keys = dict(self._jobs), dict(self._parts), dict(self._keys)
        copied._api_keys, copied._hooks = dict(self._api_keys), dict(self._hooks)
        copied._letters = dict(self._letters)
        return copied

    def now(self) -> float:
        return self._clock()

    def job(self, job_id: str) -> Job | None:
        return self._jobs.get(job_id)

    def jobs(self, tenant: str, states: Collection[JobState], start: PageStart | None, limit: int) -> list[Job]:
        mine = [job for job in self._jobs.values() if job.tenant == tenant and job.state in states]
        if start is not None:
            mine = [job for job in mine if (job.created, job.id) < (start.created, start.id)]
        return sorted(mine, key=lambda job: (job.created, job.id), reverse=True)[:limit]

    def ended_before(self, when: float, limit: int) -> list[Job]:
        return [job for job in self._jobs.values() if job.state.ended and job.changed < when][:limit]

    def made_from(self, root: str) -> list[Job]:
        mine = [job for job in self._jobs.values() if job.root == root]
        return sorted(mine, key=lambda job: (job.created, job.id))

    def waiting_before(self, when: float, limit: int) -> list[Job]:
        return [job for job in self._jobs.values() if job.state is JobState.WAITING and job.changed < when][:limit]

    def active_jobs(self, tenant: str) -> int:
        return sum(job.tenant == tenant and job.state in _ACTIVE for job in self._jobs.values())

    def versions(self, job_ids: Collection[str]) -> dict[str, int]:
        return {job_id: self._jobs[job_id].version for job_id in job_ids if job_id in self._jobs}

    def add_job(self, job: Job) -> None:
        self._jobs[job.id] = job

    def save_job(self, job: Job) -> None:
        self._jobs[job.id] = job

    def remove_job(self, job_id: str) -> None:
        del self._jobs[job_id]
        self._parts = {part.id: part for part in self._parts.values() if part.job != job_id}
        self._keys = {key: used for key, used in self._keys.items() if used.job != job_id}

    def parts(self, job_id: str, limit: int | None = None) -> list[Part]:
        mine = [part for part in self._parts.values() if part.job == job_id]
        return sorted(mine, key=lambda part: part.number)[:limit]

    def part_counts(self, job_id: str) -> dict[PartState, int]:
        return Counter(part.state for part in self.parts(job_id))

    def has_open_parts(self, job_id: str) -> bool:
        return any(part.state in _OPEN for part in self.parts(job_id))

    def part(self, part_id: str) -> Part | None:
        return self._parts.get(part_id)

    def add_parts(self, parts: Sequence[Part]) -> None:
        self._parts |= {part.id: part for part in parts}

    def save_part(self, part: Part) -> None:
        self._parts[part.id] = part

    def cancel_open_parts(self, job_id: str) -> None:
        for part in self.parts(job_id):
            if part.state in _OPEN:
                self.save_part(replace(part, state=PartState.CANCELLED))

    def next_turn(self) -> int:
        queued = [part.turn for part in self._parts.values() if part.state is PartState.QUEUED]
        running = [part.turn for part in self._parts.values() if part.state is PartState.RUNNING]
        return min(queued) if queued else max(running, default=0)

    def queued_parts(self, tenant: str) -> int:
        return sum(part.tenant == tenant and part.state is PartState.QUEUED for part in self._parts.values())

    def queue(self) -> QueueReading:
        parts = Counter(part.state.value for part in self._parts.values() if part.state in _OPEN)
        queued = [part.queued for part in self._parts.values() if part.state is PartState.QUEUED]
        return QueueReading(parts=parts, oldest_seconds=self.now() - min(queued) if queued else 0.0)

    def claim(self, owner: str, lease_seconds: float, most_weight: int | None = None) -> Part | None:
        now = self.now()
        ready = [p for p in self._parts.values() if p.state is PartState.QUEUED and p.not_before <= now]
        if most_weight is not None:
            ready = [part for part in ready if part.weight <= most_weight]
        if not ready:
            return None
        part = min(ready, key=lambda part: (part.turn, part.id))
        claimed = replace(
            part,
            state=PartState.RUNNING,
            owner=owner,
            leased_until=now + lease_seconds,
            fence=part.fence + 1,
            deliveries=part.deliveries + 1,
            started=part.started if part.started is not None else now,
        )
        self.save_part(claimed)
        return claimed

    def renew(self, part_id: str, fence: int, lease_seconds: float) -> bool:
        part = self.part(part_id)
        if part is None or part.fence != fence or part.state is not PartState.RUNNING:
            return False
        self.save_part(replace(part, leased_until=self.now() + lease_seconds))
        return True

    def held(self, part_ids: Collection[str]) -> dict[str, int]:
        parts = [self._parts[part_id] for part_id in part_ids if part_id in self._parts]
        return {part.id: part.fence for part in parts if part.state is PartState.RUNNING}

    def requeue_expired(self, lease_seconds: float, longest_pause: float) -> int:
        now = self.now()
        expired = [
            part
            for part in self._parts.values()
            if part.state is PartState.RUNNING and not now <= part.leased_until <= now + 2 * lease_seconds
        ]
        for part in expired:
            self.save_part(replace(part, state=PartState.QUEUED, not_before=now))
        for part in list(self._parts.values()):
            if part.state is PartState.QUEUED and part.not_before > now + 2 * longest_pause:
                self.save_part(replace(part, not_before=now))
        return len(expired)

    def used_key(self, tenant: str, key: str) -> UsedKey | None:
        return self._keys.get((tenant, key))

    def add_key(self, tenant: str, key: str, used: UsedKey) -> bool:
        return self._keys.setdefault((tenant, key), used) is used

    def add_api_key(self, key: ApiKey) -> None:
        self._api_keys[key.id] = key

    def api_key(self, key_id: str) -> ApiKey | None:
        return self._api_keys.get(key_id)

    def api_keys(self) -> list[ApiKey]:
        return sorted(self._api_keys.values(), key=lambda key: key.created)

    def save_api_key(self, key: ApiKey) -> None:
        self._api_keys[key.id] = key

    def hooks(self, tenant: str) -> list[Hook]:
        return sorted((hook for hook in self._hooks.values() if hook.tenant == tenant), key=lambda hook: hook.created)

    def add_hook(self, hook: Hook) -> None:
        self._hooks[hook.id] = hook

    def save_hook(self, hook: Hook) -> None:
        if hook.id in self._hooks:
            self._hooks[hook.id] = hook

    def remove_hook(self, hook_id: str) -> None:
        del self._hooks[hook_id]
        self._letters = {letter.id: letter for letter in self._letters.values() if letter.hook != hook_id}

    def add_letter(self, letter: Letter) -> None:
        self._letters[letter.id] = letter

    def claim_letter(self, lease_seconds: float) -> tuple[Letter, Hook] | None:
        now = self.now()
        awake = {hook.id for hook in self._hooks.values() if hook.resting_until <= now}
        due = [letter for letter in self._letters.values() if letter.next_at <= now and letter.hook in awake]
        if not due:
            return None
        letter = min(due, key=lambda letter: letter.next_at)
        self.save_letter(replace(letter, next_at=now + lease_seconds))
        self.save_hook(replace(self._hooks[letter.hook], resting_until=now + lease_seconds))
        return letter, self._hooks[letter.hook]

    def save_letter(self, letter: Letter) -> None:
        if letter.id in self._letters:
            self._letters[letter.id] = letter

    def forget_letters(self, before: float) -> int:
        old = [letter.id for letter in self._letters.values() if letter.written < before]
        for letter_id in old:
            self.remove_letter(letter_id)
        return len(old)

    def remove_letter(self, letter_id: str) -> None:
        self._letters.pop(letter_id, None)

    def digests_in_use(self, digests: Iterable[str]) -> set[str]:
        used: set[str] = set()
        for job in self._jobs.values():
            used |= {job.upload.digest, job.problem, *(document.digest for document in job.documents)}
        for part in self._parts.values():
            used |= {part.payload, part.answer}
        return used & set(digests)


class MemoryStore:
    """A store that forgets everything with its process. ``clock`` returns seconds since 1970."""

    def __init__(self, clock: Callable[[], float] = time.time) -> None:
        self._ledger = _MemoryLedger(clock)
        self._lock = threading.RLock()

    def change(self, work: Callable[[Ledger], Result]) -> Result:
        """Carry out a change as a whole or not at all."""
        with self._lock:
            attempt = self._ledger.restart_point()
            result = work(attempt)
            self._ledger = attempt
            return result

    def look(self, work: Callable[[Ledger], Result]) -> Result:
        """Look at records."""
        with self._lock:
            return work(self._ledger.restart_point())

    def close(self) -> None:
        """Let go of the store."""
