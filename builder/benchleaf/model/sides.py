"""The sides on which a reading can leave a limit, by the limit's form."""

from benchleaf.model.limit import Limit

BELOW = "below"
ABOVE = "above"
OUTSIDE = "outside"


def sides(limit: Limit) -> tuple[str, ...]:
    """`below` and `above` as far as the limit has these bounds; `outside` for limits that compare readings."""
    if limit.open or limit.within or limit.drop or limit.spread or limit.steady or limit.falls_by:
        return (OUTSIDE,)
    if limit.from_ is not None:
        return (BELOW, ABOVE)
    if limit.nominal is not None and limit.tolerance is not None:
        return (BELOW, ABOVE)
    rows = (limit, *limit.by_temperature, *((limit.share,) if limit.share else ()))
    low = any(row.low is not None for row in rows)
    high = any(row.high is not None for row in rows)
    return (BELOW,) * low + (ABOVE,) * high
