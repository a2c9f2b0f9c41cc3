"""From a visibility to the finding of a hazard."""

from collections.abc import Mapping

from bandcheck.vision.just_noticeable import grade
from bandcheck.vision.level import Finding, Hazard, Level

__all__ = ["graded_finding"]


def graded_finding(
    *, hazard: Hazard, visibility: float, safe_below: float, visible_from: float,
    safe_reason: str, seen_reason: str, figures: Mapping[str, float] | None = None,
) -> Finding:
    """Finding of a hazard whose figure is a visibility.

    Parameters
    ----------
    hazard
        Which hazard speaks.
    visibility
        V, >= 0; NaN where it is not known.
    safe_below, visible_from
        Limits of V.
    safe_reason, seen_reason
        Reason codes below `safe_below` and from there on.
    figures
        Further figures.

    Returns
    -------
    Finding
        The limit is the one that was passed: `visible_from` if visible, else `safe_below`.
    """
    level = grade(visibility, safe_below=safe_below, visible_from=visible_from)
    reasons = {Level.SAFE: safe_reason, Level.UNKNOWN: "not_known"}
    return Finding(
        hazard=hazard, level=level, value=None if level is Level.UNKNOWN else visibility,
        limit=visible_from if level is Level.VISIBLE else safe_below, unit="",
        reason=reasons.get(level, seen_reason), figures=figures or {},
    )
