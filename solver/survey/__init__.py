"""The survey checks itself: readings, diagonals, units, types, stacks and channels, before anything is cut."""

from solver.survey.finding import SurveyFinding, SurveyKind
from solver.survey.survey import survey

__all__ = ["SurveyFinding", "SurveyKind", "survey"]
