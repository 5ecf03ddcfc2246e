"""The workshop of a job: what is told, what is taken as usual, and what is refused."""

from dataclasses import replace

import pytest

from pitchline.job.load import load_text
from pitchline.job.new import starting_text
from pitchline.kit.errors import InputError
from pitchline.kit.units import Unit
from pitchline.making.shop import Clamps, Glue, Printer, SawKind, usual_saw, usual_shop

TEXT = starting_text("mm", Unit.MM)
INCHES = starting_text("in", Unit.INCH)


def told(shop: str, text: str = TEXT) -> str:
    return text.replace("[[flights]]", f"{shop}\n[[flights]]", 1)


def faults(shop: str) -> list[tuple[str, str]]:
    with pytest.raises(InputError) as caught:
        load_text(told(shop))
    assert all(fault.line for fault in caught.value.faults)
    return [(fault.where, fault.sentence()) for fault in caught.value.faults]


def test_a_job_that_says_nothing_has_the_usual_shop() -> None:
    assert load_text(TEXT).shop == usual_shop()
    assert load_text(INCHES).shop == usual_shop(inches=True)


def test_a_saw_is_the_usual_one_but_for_what_is_told() -> None:
    shop = load_text(
        told(
            '[[shop.saws]]\nkind = "mitre saw"\nright_deg = 60\ndeep = "3 in"\n[[shop.saws]]\nkind="hand saw"'
        )
    ).shop
    first, second = shop.saws
    assert first == replace(usual_saw(SawKind.MITRE), id="mitre saw", right_deg=60.0, deep=76.2)
    assert (second.id, second.kind) == ("hand saw", SawKind.HAND)
    assert shop.clamps == usual_shop().clamps


def test_everything_else_that_can_be_told() -> None:
    shop = load_text(
        told(
            "[shop]\nsander = 80\nhand_sander = 12\ndrills = [8, 3]\nday_hours = 7\n"
            "[shop.router]\ncutters = [8, 4]\nbed_length = 800\n"
            "[[shop.clamps]]\ncount = 3\nreach = 500\n[shop.glue]\nopen_minutes = 4\n"
            '[shop.printer]\npaper = "A3"\nbar_across = 99\n[shop.minutes]\nnewel_bolted = 99\n'
        )
    ).shop
    usual = usual_shop()
    assert (shop.sander, shop.hand_sander, shop.drills, shop.day_hours) == (80.0, 12.0, (3.0, 8.0), 7.0)
    assert shop.router is not None and usual.router is not None
    assert shop.router == replace(usual.router, cutters=(4.0, 8.0), bed_length=800.0, board_length=800.0)
    assert shop.clamps == (Clamps(3, 500.0),)
    assert shop.glue == Glue(4.0, usual.glue.clamp_minutes)
    assert shop.printer == Printer("A3", 0.99, 1.0)
    assert shop.minutes("newel-bolted") == 99.0 and shop.minutes("newel") == usual.minutes("newel")


def test_bars_of_a_job_in_inches_are_four_long() -> None:
    printer = load_text(told('[shop.printer]\nbar_along = "3 15/16 in"', INCHES)).shop.printer
    assert (printer.paper, printer.across) == ("Letter", 1.0)
    assert printer.along == pytest.approx((3 + 15 / 16) / 4)


def test_no_router() -> None:
    assert load_text(told("[shop]\nno_router = true")).shop.router is None


def test_faults_are_told_all_at_once_with_their_lines() -> None:
    found = faults(
        '[shop]\nsandr = 3\nclamps = []\n[[shop.saws]]\nkind = "miter saw"\n[[shop.saws]]\nkind = "rail saw"\n'
        'left_deg = 89\n[shop.router]\nbed_width = 900\nboard_width = "50 cm"\n'
    )
    assert [where for where, _ in found] == [
        "shop.sandr",
        "shop.saws[0].kind",
        "shop.saws[1].left_deg",
    ]
    assert "perhaps you mean sander" in found[0][1]
    assert 'perhaps you mean "mitre saw"' in found[1][1]


def test_what_contradicts_itself() -> None:
    found = faults(
        '[shop]\nno_router = true\nclamps = []\n[[shop.saws]]\nkind = "rail saw"\n[[shop.saws]]\nkind = "rail saw"\n'
        "[shop.router]\nbed_width = 900\nboard_width = 500\n"
    )
    assert [where for where, _ in found] == [
        "shop.no_router",
        "shop.clamps",
        "shop.saws[1].id",
        "shop.router.bed_width",
    ]
    assert "give each its own" in found[2][1]
