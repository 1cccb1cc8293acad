"""Who is to be asked: the local authority, with the code and edition the job names."""

from __future__ import annotations

from solver.rules import Rules


def ask(rules: Rules) -> str:
    """Return the sentence that defers to the local authority.

    Examples
    --------
    >>> ask(Rules())
    'Codes and editions differ by place: ask the local authority.'
    >>> ask(Rules(jurisdiction="Springfield", edition="IRC 2021"))
    'Codes and editions differ by place (set for this job: Springfield, IRC 2021): ask the local authority.'
    """
    named = ", ".join(name for name in (rules.jurisdiction, rules.edition) if name)
    place = f" (set for this job: {named})" if named else ""
    return f"Codes and editions differ by place{place}: ask the local authority."
