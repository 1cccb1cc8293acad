"""Guillotine nesting of mesh blanks on rolls: numbers in, plan and proof out.

``nest`` plans a job and ``by_hand`` says what a shop would pay without it. For a
joint buying decision the pieces are at hand one by one: ``ordered_demand`` puts
a problem in order, ``CrosscutPricing`` prices crosscuts exactly at whole-number
dual values, ``roll_patterns`` gives the best crosscuts for a roll at those
values and ``roll_rooms`` the most value a roll can hold, which is all that a
bound needs (``Cut``, ``least_cost``).
"""

from solver.rolls.bounds import Cut, cut_from, least_cost, roll_patterns, roll_rooms, whole_values
from solver.rolls.by_hand import by_hand
from solver.rolls.crosscuts import Crosscut, CrosscutPricing
from solver.rolls.demand import Demand, ordered_demand
from solver.rolls.nest import nest

__all__ = [
    "Crosscut",
    "CrosscutPricing",
    "Cut",
    "Demand",
    "by_hand",
    "cut_from",
    "least_cost",
    "nest",
    "ordered_demand",
    "roll_patterns",
    "roll_rooms",
    "whole_values",
]
