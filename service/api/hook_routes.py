"""Webhooks over HTTP: be told when a job has ended or waits for answers."""

from __future__ import annotations

from datetime import UTC, datetime
from http import HTTPStatus
from typing import Annotated

from fastapi import APIRouter, Path, Response
from fastapi.exceptions import RequestValidationError
from pydantic import BaseModel, ConfigDict, Field

from service.api.job_routes import Tenant
from service.api.office import Office
from service.api.problems import described
from service.errors import AddressError
from service.jobs.records import Hook
from service.jobs.sending import PUBLIC_ADDRESS, target

HookId = Annotated[str, Path(max_length=32, description="Id of the webhook.")]


class HookIn(BaseModel):
    """A webhook to be added."""

    model_config = ConfigDict(extra="forbid", json_schema_extra={"example": {"url": "https://shop.example/screens"}})

    url: str = Field(
        max_length=2_000,
        description="Where to post to; https, reachable from the internet.",
        json_schema_extra={"pattern": PUBLIC_ADDRESS},
    )


class HookOut(BaseModel):
    """A webhook."""

    id: str
    url: str
    created: datetime


class NewHookOut(HookOut):
    """A webhook just added. Letters are signed with its secret (Standard Webhooks), which is shown this once."""

    secret: str = Field(examples=["whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw"])


def hook_routes(office: Office) -> APIRouter:
    """Return the routes that deal with webhooks."""
    routes = APIRouter(tags=["webhooks"])

    @routes.post("/webhooks", status_code=HTTPStatus.CREATED, responses=described(400, 409, 422, 503))
    def add_a_webhook(hook: HookIn, tenant: Tenant) -> NewHookOut:
        """Be told, at least once, when a job is done, failed, cancelled or waits for answers."""
        try:
            target(hook.url, private_allowed=office.private_hooks)
        except AddressError as error:
            fault = {"loc": ("body", "url"), "msg": str(error), "type": "value_error"}
            raise RequestValidationError([fault]) from error
        added = office.hooks.add(tenant, hook.url)
        return NewHookOut(**_shown(added).model_dump(), secret=added.secret)

    @routes.get("/webhooks", responses=described(503))
    def list_webhooks(tenant: Tenant) -> list[HookOut]:
        """List webhooks, oldest first."""
        return [_shown(hook) for hook in office.hooks.hooks(tenant)]

    @routes.delete("/webhooks/{hook_id}", status_code=HTTPStatus.NO_CONTENT, responses=described(404, 503))
    def remove_a_webhook(hook_id: HookId, tenant: Tenant) -> Response:
        """Remove a webhook; letters on their way to it are dropped."""
        office.hooks.remove(tenant, hook_id)
        return Response(status_code=HTTPStatus.NO_CONTENT)

    return routes


def _shown(hook: Hook) -> HookOut:
    return HookOut(id=hook.id, url=hook.url, created=datetime.fromtimestamp(hook.created, UTC))
