"""Critical path of a job: earliest and latest start and finish, total and free float of every activity."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from soundmetal.calc.limits import not_negative

#: Floats under this count as none: sums of hours carry rounding of about 1e-13.
SLACK = 1e-9


@dataclass(frozen=True, slots=True)
class Activity:
    """One activity of the network with its times from the start of the job, in the unit of its duration."""

    name: str
    duration: float
    earliest_start: float
    earliest_finish: float
    latest_start: float
    latest_finish: float
    free_float: float

    @property
    def total_float(self) -> float:
        """Time that it can slip without moving the end of the job."""
        return self.latest_start - self.earliest_start

    @property
    def critical(self) -> bool:
        """True where any slip moves the end of the job."""
        return abs(self.total_float) < SLACK


def schedule(durations: Mapping[str, float], after: Mapping[str, Collection[str]]) -> dict[str, Activity]:
    """Work out the network by a forward and a backward pass.

    Parameters
    ----------
    durations : mapping of str to float
        Every activity with its duration, [any unit of time]
    after : mapping of str to collection of str
        What must be finished before an activity starts; activities without an entry start at once, [-]

    Returns
    -------
    activities : dict of str to Activity
        In the order of `durations`; empty for no activities, [same unit]

    Notes
    -----
    RANGE OF VALIDITY: durations of 0 or more, no cycle, no name without a duration; ValueError names the trouble.
    People and bays are not limited here: two activities may run at once.

    Examples
    --------
    >>> plan = schedule({"cut": 2.0, "weld": 3.0, "order glass": 1.0}, {"weld": ["cut"]})
    >>> plan["weld"].earliest_finish, plan["order glass"].total_float
    (5.0, 4.0)

    References
    ----------
    Critical path method, textbook (Render and Stair exercise for the figures; published-read).
    """
    order = in_order(durations, after)
    start: dict[str, float] = {}
    for name in order:
        start[name] = max((start[one] + durations[one] for one in after.get(name, ())), default=0.0)
    end = max((start[name] + durations[name] for name in order), default=0.0)
    followers: dict[str, list[str]] = {name: [] for name in order}
    for name in order:
        for one in after.get(name, ()):
            followers[one].append(name)
    latest: dict[str, float] = {}
    for name in reversed(order):
        latest[name] = min((latest[one] - durations[one] for one in followers[name]), default=end)
    return {
        name: Activity(
            name=name,
            duration=durations[name],
            earliest_start=start[name],
            earliest_finish=start[name] + durations[name],
            latest_start=latest[name] - durations[name],
            latest_finish=latest[name],
            free_float=min((start[one] for one in followers[name]), default=end) - start[name] - durations[name],
        )
        for name in durations
    }


def in_order(durations: Mapping[str, float], after: Mapping[str, Collection[str]]) -> list[str]:
    """Put the activities into an order in which each comes after all that it waits for.

    Parameters
    ----------
    durations : mapping of str to float
        Every activity with its duration, [any unit of time]
    after : mapping of str to collection of str
        What must be finished before an activity starts, [-]

    Returns
    -------
    names : list of str
        Same input, same order, [-]

    Notes
    -----
    RANGE OF VALIDITY: as `schedule`.

    Examples
    --------
    >>> in_order({"weld": 3.0, "cut": 2.0}, {"weld": ["cut"]})
    ['cut', 'weld']

    References
    ----------
    Topological order, textbook.
    """
    for name, duration in durations.items():
        not_negative(duration, f'duration of "{name}"')
    for name, before in after.items():
        for one in (name, *before):
            if one not in durations:
                raise ValueError(f'activity "{one}" has no duration (met in "{name}")')
    waits = {name: set(after.get(name, ())) for name in durations}
    order: list[str] = []
    # Wave by wave in the order given, so that an unordered collection of predecessors cannot change the outcome.
    while waits:
        free = [name for name, before in waits.items() if before.isdisjoint(waits)]
        if not free:
            raise ValueError(f"activities wait for each other in a circle: {' -> '.join(_circle(waits))}")
        order += free
        waits = {name: before for name, before in waits.items() if name not in free}
    return order


def _circle(waits: Mapping[str, Collection[str]]) -> list[str]:
    path = [next(iter(waits))]
    while path[-1] not in path[:-1]:
        path.append(min(one for one in waits[path[-1]] if one in waits))
    return path[path.index(path[-1]) :][::-1]


def length(activities: Mapping[str, Activity]) -> float:
    """Give the time from the first start to the last finish.

    Parameters
    ----------
    activities : mapping of str to Activity
        What `schedule` gave, [any unit of time]

    Returns
    -------
    length : float
        Length of the job; 0 without activities, [same unit]

    Notes
    -----
    RANGE OF VALIDITY: as `schedule`.

    Examples
    --------
    >>> length(schedule({"cut": 2.0, "weld": 3.0}, {"weld": ["cut"]}))
    5.0

    References
    ----------
    Critical path method, textbook.
    """
    return max((one.earliest_finish for one in activities.values()), default=0.0)
