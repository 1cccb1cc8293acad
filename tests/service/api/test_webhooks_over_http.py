"""Webhooks are added, listed and removed over real HTTP."""

from pathlib import Path

from tests.service.running_service import running_service


def test_a_webhook_is_added_listed_and_removed(tmp_path: Path) -> None:
    with running_service(tmp_path / "data") as service:
        refused = service.client.post("/webhooks", json={"url": "https://10.0.0.1/"})
        assert refused.status_code == 422
        assert refused.json()["errors"][0]["where"] == "body.url"
        added = service.client.post("/webhooks", json={"url": "https://shop.example/screens"})
        assert added.status_code == 201
        assert added.json()["secret"].startswith("whsec_")
        (listed,) = service.client.get("/webhooks").json()
        assert "secret" not in listed
        assert service.client.delete(f"/webhooks/{listed['id']}").status_code == 204
        assert service.client.delete(f"/webhooks/{listed['id']}").status_code == 404
