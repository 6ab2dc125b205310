"""Kinds of parts as records of version 3 and before hold them, in the fields of today.

Each measurement told one `failure` for whatever was wrong, and had flags for what is a hazard now;
all of them were of the part.
"""

from typing import Any

import msgspec

__all__ = ["kind_now", "kind_text_now"]


def kind_text_now(text: str) -> str:
    """The text of a kind in today's fields: itself, where it is not older, or is none."""
    try:
        return msgspec.json.encode(kind_now(msgspec.json.decode(text))).decode()
    except (ValueError, RecursionError):
        return text  # what is wrong with it, its reader tells


def kind_now(kind: dict[str, Any]) -> dict[str, Any]:
    """The fields of a kind, as they are called today.

    Raises:
        ValueError: it is none.
    """
    try:
        if "hazards" in kind:
            return kind
        measures = [_measure(measure) for measure in kind["measures"]]
        conclusions = [_conclusion(rule) for rule in kind.get("conclusions", [])]
    except (TypeError, KeyError, AttributeError) as error:
        raise ValueError(str(error)) from error
    return {**kind, "hazards": [], "measures": measures, "conclusions": conclusions}


def _measure(older: dict[str, Any]) -> dict[str, Any]:
    now = dict(older)
    failure = now.pop("failure")
    live, charged = (now.pop(flag, False) for flag in ("powered", "discharge_first"))
    hazards = ["live"] * live + ["stored charge"] * (charged and not live)
    meant = dict.fromkeys(("too_low", "too_high", "open", "shorted"), failure)
    return {
        **now,
        **meant,
        "subject": "part",
        "hazards": hazards,
        "evidence": [],
        "unrated": "pass",
    }


def _conclusion(older: dict[str, Any]) -> dict[str, Any]:
    now = {"source": "", **older, "subject": "part", "pass_leaves": ""}
    if now["by"] in ("under load", "difference"):
        failure = now.pop("failure")
        now |= {"too_low": failure, "too_high": failure}
        if now["by"] == "under load":
            now["open"] = failure
    return now
