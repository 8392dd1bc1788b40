"""What a person should lift, for `calc lift`."""

from typing import cast

from benchleaf.edge.calc.complaint import Misfit
from benchleaf.edge.calc.given import Answer, Given, Values
from benchleaf.trade.lifting import Coupling
from benchleaf.trade.lifting import lift as lifted


def lift(given: Given) -> Answer:
    """Recommended weight limit, lifting index and multipliers."""
    try:
        found = lifted(
            given.number("horizontal", "cm"),
            given.number("vertical", "cm"),
            given.number("distance", "cm"),
            given.number("angle", "°"),
            given.number("frequency", "1/min"),
            given.number("duration", "h"),
            cast(Coupling, given.word("coupling")),
        )
    except ValueError as error:
        raise Misfit("duration", f"{str(error)[0].upper()}{str(error)[1:]}.", "Share the work out.") from error
    values: Values = {"limit": found.limit}
    index = found.lifting_index(given.number("mass", "kg")) if given.has("mass") else None
    if index is not None:
        values["index"] = index
    values |= {name: value for name, value in found._asdict().items() if name != "limit"}
    source = (
        "NIOSH Pub. 94-110, metric form. Not for one hand, seated, kneeling, narrow places, loads that shift, "
        "carrying, pushing, slippery floors or heat"
    )
    formula = "limit = 23 kg · HM VM DM AM FM CM; index = mass/limit: above 1 the risk is raised"
    if not found.limit:
        formula += "; a multiplier of 0: nobody should lift so, whatever the mass"
    return Answer(values, formula, source)
