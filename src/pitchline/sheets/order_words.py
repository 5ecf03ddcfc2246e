"""How the sheets of the order of work say times, amounts and numbers of steps."""

from collections.abc import Sequence

from pitchline.making.order_schedule import DAY


def clock(minutes: float) -> str:
    """A minute of the clock as day and time: "day 2, 14:05"."""
    day, time = divmod(round(minutes), round(DAY))
    return f"day {day + 1}, {time // 60:02d}:{time % 60:02d}"


def time_of_day(minutes: float) -> str:
    """A minute of the clock without its day."""
    time = round(minutes) % round(DAY)
    return f"{time // 60:02d}:{time % 60:02d}"


def stretch(start: float, end: float) -> str:
    """From a minute of the clock to another."""
    if start // DAY == end // DAY:
        return f"{clock(start)} to {time_of_day(end)}"
    return f"{clock(start)} to {clock(end)}"


def lasting(minutes: float) -> str:
    """How long something takes, to about a part in twenty: "25 min", "2 h 30", "3 days"."""
    if minutes >= DAY:
        days = minutes / DAY
        return "1 day" if abs(days - 1.0) < 0.02 else f"{days:.1f}".removesuffix(".0") + " days"
    if minutes < 1.0:
        return "a moment"
    whole = round(minutes)
    if whole < 60:
        return f"{whole} min"
    hours, rest = divmod(whole, 60)
    return f"{hours} h" if rest == 0 else f"{hours} h {rest:02d}"


def between(low: float, high: float, unit: str, digits: int = 1) -> str:
    """A range with its unit; one number where both read alike."""
    a, b = f"{low:.{digits}f}", f"{high:.{digits}f}"
    return f"{a} {unit}" if a == b else f"{a} to {b} {unit}"


def listed(names: Sequence[str], most: int = 12) -> str:
    """Place marks with runs drawn together: "U01 to U20, P1"; the rest counted where there are many."""
    runs: list[list[str]] = []
    for name in names:
        if runs and _follows(runs[-1][-1], name):
            runs[-1].append(name)
        else:
            runs.append([name])
    said = [f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(run) for run in runs]
    if len(said) > most:
        left = sum(len(run) for run in runs[most:])
        return ", ".join(said[:most]) + f" and {left} more"
    return ", ".join(said)


def in_turn(name: str) -> tuple[str, int, str]:
    """What place marks are sorted by: letters, then number."""
    letters, number, rest = _split(name)
    return letters, -1 if number is None else number, rest


def _follows(before: str, after: str) -> bool:
    (a, m, x), (b, n, y) = _split(before), _split(after)
    return (a, x) == (b, y) and m is not None and n == m + 1


def _split(name: str) -> tuple[str, int | None, str]:
    """Letters, number and what follows it."""
    start = next((k for k, letter in enumerate(name) if letter.isdigit()), len(name))
    end = next((k for k in range(start, len(name)) if not name[k].isdigit()), len(name))
    return name[:start], int(name[start:end]) if end > start else None, name[end:]
