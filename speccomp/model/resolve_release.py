"""Read how a plant approves and releases its documents."""

from collections.abc import Mapping
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from speccomp.model.lookup import resolve_name
from speccomp.model.node import Node
from speccomp.model.release_rules import Approver, ReleaseRules


def resolve_release(node: Node | None, roles: Mapping[str, str]) -> ReleaseRules:
    """Return the rules of release; an unknown role or time zone is collected."""
    if node is None:
        return ReleaseRules()
    approvers = tuple(_approver(item, roles) for item in node.items("approvers"))
    return ReleaseRules(
        signatures=node.text("signatures", "unsigned"),
        approvers=approvers,
        author_may_approve=node.flag("author_may_approve") or False,
        review_every=node.text("review_every"),
        time_zone=_time_zone(node),
        register=node.text("register"),
    )


def _approver(node: Node, roles: Mapping[str, str]) -> Approver:
    role = node.child("role")
    resolve_name(role, roles, "role", "the plant file")
    first, last = node.day("from"), node.day("to")
    if first and last and last < first:
        node.report(
            "value.malformed",
            f"the last day, {last}, is before the first, {first}",
            "exchange the two days",
            span=node.child("to").span,
        )
    return Approver(node.text("name"), role.string(), node.text("key"), first, last, node.span)


def _time_zone(node: Node) -> str:
    zone = node.get("time_zone")
    if zone is None:
        return ""
    try:
        ZoneInfo(zone.string())
    except (ZoneInfoNotFoundError, ValueError, OSError):
        hint = "write a name such as Europe/Berlin or America/Chicago"
        zone.report("value.malformed", f"there is no time zone `{zone.string()}`", hint)
        return ""
    return zone.string()
