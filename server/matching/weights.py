"""All the weights and lines of the matching, in one place."""

from typing import NamedTuple


class Weights(NamedTuple):
    """What each agreement or contradiction counts.

    First values from the pairwise fit of a trial, then set on the tuning half
    of tests/matching/pairs.csv. Those of one group are shared among the
    sayings of the query that belong to it.
    """

    share: float = 2.1
    """For the part of the query's information that is found at all."""
    thing: float = 1.6
    kind: float = 1.2
    material: float = 1.2
    place: float = 0.9
    side: float = 0.8
    number: float = 3.2
    size: float = 1.3
    all_sizes: float = 2.5
    size_conflict: float = 1.2
    kind_conflict: float = 0.8
    material_conflict: float = 1.0
    thing_conflict: float = 1.6
    side_conflict: float = 1.0
    silent: float = 0.15
    """For each share of the query's sizes that the other side says nothing about."""
    unasked: float = 0.04
    """For each size that only the other side names."""


WEIGHTS = Weights()

LEAST_SHARE = 0.4
"""The "nothing fits" line: at least this part of what the query says must be found."""
SURE_SHARE = 0.1
"""The same where thing and something more agree and nothing differs: talk around a part is no contradiction."""
LIKELY_SHARE = 0.7
"""From here on, and with no contradiction, a hit is likely."""

EQUAL = 0.006
"""Sizes this close (0.6 %) plus both doubts are equal; a trial's value that keeps 3/32 in from 2.5 mm."""
NEAR = 0.065
"""Sizes this close are near: 6 mm for 1/4 in. Beyond it they contradict."""
NEAR_SPREAD = 0.05
NEAR_MOST = 0.85
"""A near size never counts as much as an equal one."""

SECOND_HEAD = 0.6
"""For words that stand beside the name of the thing and may name it."""
NAMED_BESIDE = 0.4
"""The thing is named on the other side, but as what the part goes with."""
