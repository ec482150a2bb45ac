"""Pot life at the temperatures of the shop."""

from dataclasses import dataclass
from functools import partial

from speccomp.calc.magnitudes import fraction_below_one
from speccomp.calc.potlife import pot_life_arrhenius, pot_life_q10
from speccomp.derive import formulas
from speccomp.derive.mixture import Mixture
from speccomp.derive.model_values import as_fraction, greatest, least
from speccomp.derive.numbers import Input, Ledger, Number, derived_from, written
from speccomp.model.material import Material
from speccomp.model.material import PotLife as CardPotLife
from speccomp.model.plant import Plant
from speccomp.model.process import Process
from speccomp.quantities import Quantity

DEFAULT_MARGIN = 0.1
DEFAULT_Q10 = 2.0


@dataclass(frozen=True, slots=True)
class LifeAt:
    """The pot life at one temperature, named in words, and what is left without the margin."""

    where: str
    temperature: Quantity
    life: Number[Quantity]
    usable: Number[Quantity]


@dataclass(frozen=True, slots=True)
class PotLife:
    """
    The pot life of the mixture.

    `on_card` is at the card's temperature; `low`, `middle` and `high` at those of the shop, None
    where the plant file gives no shop temperature.
    """

    card: Material
    margin: float
    on_card: LifeAt
    low: LifeAt | None
    middle: LifeAt | None
    high: LifeAt | None

    @property
    def worst(self) -> LifeAt:
        """The life on the hottest day, or at the card's temperature if that is hotter."""
        if self.high is None:
            return self.on_card
        return min(self.on_card, self.high, key=lambda at: at.life.value.m_as("s"))


def derive_pot_life(process: Process, mixture: Mixture, ledger: Ledger) -> PotLife | None:
    """Return the pot life by the card of a component; None where no card gives one."""
    cards = [component.card for component in mixture.components if component.card is not None]
    card = next((card for card in cards if card.pot_life is not None), None)
    if card is None or card.pot_life is None:
        if len(mixture.components) > 1:
            ledger.missing(
                "pot-life",
                "no card of the mixture gives a pot life",
                "add `pot_life: {time: …, at: …}` to the card of the reference",
                mixture.reference.span,
            )
        return None
    work = partial(_pot_life, process.plant, card, card.pot_life, ledger)
    return ledger.attempt("pot-life", card.pot_life.span, work)


def _pot_life(plant: Plant, card: Material, stated: CardPotLife, ledger: Ledger) -> PotLife | None:
    if stated.time is None or stated.at is None:
        return None
    kept, shop = plant.margins.pot_life, plant.shop_temperature
    margin = fraction_below_one(
        DEFAULT_MARGIN if kept is None else as_fraction(kept), "margin of the pot life"
    )
    at = partial(_at, stated, (margin, _margin_input(plant)), ledger)
    source = written("temperature on the card", stated.at, stated.span)
    on_card = at("card", "the card's temperature", (stated.at.nominal_quantity, source))
    if shop is None:
        return PotLife(card, margin, on_card, None, None, None)
    source = written("shop temperature", shop, plant.span)
    return PotLife(
        card,
        margin,
        on_card,
        at("shop-low", "the shop's lowest temperature", (least(shop), source)),
        at("shop-middle", "the shop's usual temperature", (shop.nominal_quantity, source)),
        at("shop-high", "the shop's highest temperature", (greatest(shop), source)),
    )


def _at(
    stated: CardPotLife,
    kept: tuple[float, Input],
    ledger: Ledger,
    name: str,
    where: str,
    temperature: tuple[Quantity, Input],
) -> LifeAt:
    arrhenius = stated.activation_energy is not None
    life = ledger.add(
        f"pot-life.{name}",
        f"pot life at {where}",
        _life(stated, temperature[0]),
        formulas.POT_LIFE_ARRHENIUS if arrhenius else formulas.POT_LIFE_Q10,
        (*_card_inputs(stated), temperature[1]),
    )
    usable = ledger.add(
        f"pot-life.{name}.usable",
        f"pot life at {where} less the margin",
        life.value * (1 - kept[0]),
        formulas.USABLE_LIFE,
        (derived_from(life), kept[1]),
    )
    return LifeAt(where, temperature[0], life, usable)


def _card_inputs(stated: CardPotLife) -> tuple[Input, ...]:
    fields = (("pot life", stated.time), ("at", stated.at), ("E", stated.activation_energy))
    inputs = tuple(written(name, value, stated.span) for name, value in fields if value is not None)
    if stated.activation_energy is not None:
        return inputs
    text = "2, assumed" if stated.q10 is None else f"{stated.q10:g}"
    return (*inputs, Input("Q10", text, stated.span))


def _margin_input(plant: Plant) -> Input:
    kept = plant.margins.pot_life
    if kept is None:
        return Input("margin of the pot life", "10 %, assumed")
    return written("margin of the pot life", kept, plant.span)


def _life(stated: CardPotLife, temperature: Quantity) -> Quantity:
    if stated.time is None or stated.at is None:
        raise ValueError("a pot life without its time or temperature")
    life, reference = least(stated.time), stated.at.nominal_quantity
    energy = stated.activation_energy
    if energy is not None:
        return pot_life_arrhenius(life, reference, temperature, energy.nominal_quantity)
    return pot_life_q10(life, reference, temperature, stated.q10 or DEFAULT_Q10)
