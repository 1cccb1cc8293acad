"""Webhooks: told at least once, signed, and never sent into our own network."""

import contextlib
import socket
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

import pytest

from service.errors import AddressError, TooManyHooksError, UnknownHookError
from service.jobs.bench import Bench
from service.jobs.desk import Desk
from service.jobs.hooks import HookDesk, signature
from service.jobs.postman import Postman
from service.jobs.sending import send, target
from service.jobs.store import JobStore
from tests.service.jobs.job_builders import DIGEST, a_wish, claimed, question, solve_all, solving_job


@dataclass
class Receiver:
    """A web server of a customer; it answers what ``answers`` says, then 200."""

    port: int = 0
    answers: list[int] = field(default_factory=list)
    got: list[tuple[dict[str, str], bytes]] = field(default_factory=list)

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}/screens?shop=1"


@pytest.fixture
def receiver() -> Iterator[Receiver]:
    receiver = Receiver()

    class _Handler(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            body = self.rfile.read(int(self.headers["content-length"]))
            receiver.got.append(({name.lower(): value for name, value in self.headers.items()}, body))
            self.send_response(receiver.answers.pop(0) if receiver.answers else 200)
            self.send_header("Location", f"http://127.0.0.1:{receiver.port}/elsewhere")
            self.end_headers()

        def log_message(self, *_: object) -> None:
            pass

    with ThreadingHTTPServer(("127.0.0.1", 0), _Handler) as server:
        receiver.port = server.server_port
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield receiver
        server.shutdown()


def test_a_letter_says_what_became_of_a_job_and_is_signed(store: JobStore, receiver: Receiver) -> None:
    desk, bench = Desk(store), Bench(store)
    hook = HookDesk(store).add("shop", receiver.url)
    job = solving_job(desk, bench, parts=1)
    postman = Postman(store, private_allowed=True)
    assert not postman.carry_one()
    solve_all(bench, 1)
    bench.assembled(claimed(bench), DIGEST, ())
    bench.papers_written(claimed(bench), ())
    assert postman.carry_one()
    ((headers, body),) = receiver.got
    assert '"type": "job.done"' in body.decode()
    assert job.id in body.decode()
    timestamp = int(headers["webhook-timestamp"])
    assert headers["webhook-signature"] == signature(hook.secret, headers["webhook-id"], timestamp, body)
    assert not postman.carry_one()


@pytest.mark.parametrize("end", ["failed", "cancelled", "waiting"])
def test_every_state_that_needs_somebody_is_told(store: JobStore, receiver: Receiver, end: str) -> None:
    desk, bench = Desk(store), Bench(store)
    HookDesk(store).add("shop", receiver.url)
    HookDesk(store).add("other-shop", receiver.url)
    job = desk.accept(a_wish())
    match end:
        case "failed":
            bench.failed(claimed(bench), "broken")
        case "cancelled":
            desk.cancel("shop", job.id)
        case _:
            bench.refused(claimed(bench), (question(),))
    postman = Postman(store, private_allowed=True)
    assert (postman.carry_one(), postman.carry_one()) == (True, False)
    assert f'"job.{end}"'.encode() in receiver.got[0][1]


def test_a_letter_that_is_not_taken_is_kept_for_later(store: JobStore, receiver: Receiver) -> None:
    HookDesk(store).add("shop", receiver.url)
    job = Desk(store).accept(a_wish())
    Desk(store).cancel("shop", job.id)
    receiver.answers = [500]
    postman = Postman(store, private_allowed=True)
    assert postman.carry_one()
    assert not postman.carry_one(), "not tried again before its pause is over"
    _make_due(store)
    assert postman.carry_one()
    first, second = (headers["webhook-id"] for headers, _ in receiver.got)
    assert first == second
    assert not _make_due(store)


def test_a_redirect_is_not_followed(receiver: Receiver) -> None:
    receiver.answers = [307]
    assert send(target(receiver.url, private_allowed=True), b"{}", {}, private_allowed=True) == 307
    assert len(receiver.got) == 1


def test_an_answer_that_drips_ends_at_the_deadline() -> None:
    def drip(line: socket.socket) -> None:
        connection, _ = line.accept()
        with connection, contextlib.suppress(OSError):
            while True:
                connection.sendall(b"H")
                time.sleep(0.05)

    with socket.create_server(("127.0.0.1", 0)) as server:
        dripping = threading.Thread(target=drip, args=(server,))
        dripping.start()
        to = target(f"http://127.0.0.1:{server.getsockname()[1]}/", private_allowed=True)
        with pytest.raises(OSError, match="no proper answer"):
            send(to, b"{}", {}, private_allowed=True, within=0.5)
        dripping.join()


def test_a_webhook_that_does_not_answer_rests_and_holds_up_nobody(store: JobStore, receiver: Receiver) -> None:
    HookDesk(store).add("shop", "http://127.0.0.1:1/nobody-listens")
    HookDesk(store).add("other-shop", receiver.url)
    desk = Desk(store)
    for tenant in ("shop", "shop", "shop", "other-shop"):
        desk.cancel(tenant, desk.accept(a_wish(tenant)).id)
    postman = Postman(store, private_allowed=True)
    carried = [postman.carry_one() for _ in range(3)]
    assert carried == [True, True, False], "one try at the dead webhook, one letter to the other"
    assert len(receiver.got) == 1


def test_a_webhook_gets_one_letter_at_a_time(store: JobStore) -> None:
    HookDesk(store).add("shop", "https://shop.example/")
    desk = Desk(store)
    for _ in range(2):
        desk.cancel("shop", desk.accept(a_wish()).id)
    first = store.change(lambda ledger: ledger.claim_letter(60))
    assert first is not None
    assert store.change(lambda ledger: ledger.claim_letter(60)) is None


def test_letters_nobody_takes_are_forgotten_by_their_age(store: JobStore) -> None:
    HookDesk(store).add("shop", "https://shop.example/")
    desk = Desk(store)
    desk.cancel("shop", desk.accept(a_wish()).id)
    assert store.change(lambda ledger: ledger.forget_letters(ledger.now() - 60)) == 0
    assert store.change(lambda ledger: ledger.forget_letters(ledger.now() + 60)) == 1


def test_a_letter_is_given_up_in_the_end(store: JobStore) -> None:
    HookDesk(store).add("shop", "http://127.0.0.1:1/nobody-listens")
    job = Desk(store).accept(a_wish())
    Desk(store).cancel("shop", job.id)
    postman = Postman(store, private_allowed=True)
    tries = 0
    while postman.carry_one():
        tries += 1
        _make_due(store)
    assert tries == 9


@pytest.mark.parametrize(
    "url",
    [
        "http://shop.example/",
        "ftp://shop.example/",
        "https://",
        "https://user@shop.example/",
        "https://127.0.0.1/",
        "https://[::1]/",
        "https://[::ffff:10.0.0.1]/",
        "https://[64:ff9b::a00:1]/",
        "https://[64:ff9b:1::a00:1]/",
        "https://[::127.0.0.1]/",
        "https://[fd00::1]/",
        "https://169.254.169.254/latest/meta-data",
        "https://10.1.2.3/",
        "https://0.0.0.0/",
        "https://shop.example:99999/",
    ],
)
def test_an_address_that_letters_may_not_go_to_is_refused(url: str) -> None:
    with pytest.raises(AddressError):
        target(url, private_allowed=False)


def test_a_name_that_leads_into_our_own_network_gets_nothing(receiver: Receiver) -> None:
    to = target(f"https://localhost:{receiver.port}/", private_allowed=False)
    with pytest.raises(AddressError, match="cannot be reached from the internet"):
        send(to, b"{}", {}, private_allowed=False)
    assert receiver.got == []


def test_a_tenant_has_its_own_webhooks_and_not_too_many(store: JobStore) -> None:
    hooks = HookDesk(store)
    mine = hooks.add("shop", "https://shop.example/")
    with pytest.raises(UnknownHookError):
        hooks.remove("other-shop", mine.id)
    for _ in range(9):
        hooks.add("shop", "https://shop.example/")
    with pytest.raises(TooManyHooksError):
        hooks.add("shop", "https://shop.example/")
    hooks.remove("shop", mine.id)
    assert mine not in hooks.hooks("shop")


def _make_due(store: JobStore) -> bool:
    """Let the pauses of all letters be over; return whether there is any letter."""
    from dataclasses import replace

    def work(ledger) -> bool:  # type: ignore[no-untyped-def]
        found = False
        now = ledger.now
        ledger.now = lambda: now() + 10**6
        try:
            while (due := ledger.claim_letter(10**7)) is not None:
                found = True
                due_again.append(due[0])
        finally:
            ledger.now = now
        for letter in due_again:
            ledger.save_letter(replace(letter, next_at=0.0))
        for hook in ledger.hooks("shop"):
            ledger.save_hook(replace(hook, resting_until=0.0))
        return found

    due_again: list = []  # type: ignore[type-arg]
    return store.change(work)
