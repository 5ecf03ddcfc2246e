"""The ways to spread the uprights as a list: what each costs, which is laid out and why."""

from collections.abc import Sequence

from pitchline.design.choices import Choice
from pitchline.sheets.tables import Listing, Quantity


def choices_list(design: str, choices: Sequence[Choice]) -> Listing:
    """The layouts that the spacing could have, the one that is laid out first."""
    rows = tuple(
        (
            choice.spread.value,
            Quantity(choice.count, "count"),
            Quantity(choice.gap),
            Quantity(choice.start_gap),
            Quantity(choice.finish_gap),
            Quantity(choice.module),
            Quantity(choice.pieces, "count"),
            Quantity(choice.odd, "count"),
            f"laid out: {choice.why}" if choice.preferred else choice.why,
        )
        for choice in choices
    )
    return Listing(
        f"{design}-choices",
        f"Ways to spread the uprights, design {design}",
        (
            "Spread", "Uprights", "Gap", "At the foot", "At the head", "Centre to centre", "Pieces", "Odd ones",
            "Why",
        ),
        rows,
        frozenset(index for index, choice in enumerate(choices) if choice.preferred),
        intro="Pieces are uprights with the fillets or blocks between them; odd ones are cut unlike the rest and "
        "need a setting of their own. The first is laid out. Ask for another by its spread, count or module in the "
        "job file.",
    )  # fmt: skip
