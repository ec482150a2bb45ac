"""Infer the likely classification of a mixture from its composition by mass."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from speccomp.cautions.hazard_data import (
    MixtureLimit,
    OwnLimit,
    Substance,
    hazard_data,
    mixture_limits,
    substances,
)
from speccomp.cautions.labels import shown_statements

_ENDPOINTS = (frozenset({"H314", "H315"}), frozenset({"H318", "H319"}))
_ROUND = 1e-9


@dataclass(frozen=True, slots=True)
class Share:
    """
    A substance and its share of the mass in per cent.

    `codes` are those of the pure substance. `limits` are its own ones in a mixture.
    """

    name: str
    per_cent: float
    codes: tuple[str, ...]
    limits: tuple[OwnLimit, ...] = ()
    non_additive: bool = False
    ph: str = ""
    groups: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Inferred:
    """
    What a composition lets one expect; it never replaces the maker's sheet.

    `reasons` are one for each code. `assumptions` are what was taken for granted, and which
    input would do without.
    """

    codes: tuple[str, ...]
    reasons: tuple[str, ...]
    assumptions: tuple[str, ...]


def share_of(
    name: str,
    per_cent: float,
    *,
    form: str,
    local_codes: str = "",
    molar_ratio: float | None = None,
    weight_ratio: float | None = None,
    codes: Sequence[str] = (),
) -> tuple[Share, tuple[str, ...]]:
    """
    Return a constituent with what is known of it, and the assumptions made for that.

    An unknown substance has the given codes only. A silicate is judged by its molar ratio.
    """
    known = substances().get(name)
    if known is None:
        return Share(name, per_cent, tuple(codes)), ()
    own = (*known.codes, *(known.codes_us if local_codes == "us" else ()))
    assumed: tuple[str, ...] = ()
    if known.molar_from_weight is not None:
        ratio = molar_ratio or (weight_ratio * known.molar_from_weight if weight_ratio else None)
        own = silicate_codes(ratio, form)
        if ratio is None:
            assumed = (
                f"the ratio of the {known.name} is not given, so the strongest is assumed; "
                "`molar_ratio` or `weight_ratio` would tell",
            )
    merged = tuple(dict.fromkeys((*own, *codes)))
    return _share(known, per_cent, merged), assumed


def _share(known: Substance, per_cent: float, codes: tuple[str, ...]) -> Share:
    return Share(
        known.name,
        per_cent,
        codes,
        known.limits,
        known.non_additive,
        known.ph,
        (known.id, *known.groups),
    )


def molar_ratio(weight_ratio: float, silicate: str) -> float:
    """
    Return moles of silica to moles of alkali oxide from the ratio of their masses.

    `silicate` is `sodium-silicate` or `potassium-silicate`. The factor is that of the molar
    masses: 1.032 for sodium, 1.568 for potassium.
    """
    factor = substances()[silicate].molar_from_weight
    if factor is None:
        raise ValueError(f"{silicate} is no silicate of a ratio")
    return weight_ratio * factor


def silicate_codes(ratio: float | None, form: str) -> tuple[str, ...]:
    """Return the codes of an alkali silicate by its molar ratio; the strongest without one."""
    bands = hazard_data()["silicate_bands"]
    for band in bands:
        if ratio is None or "up_to" not in band or ratio <= float(band["up_to"]):
            return tuple(band["powder" if form == "powder" else "other"])
    return ()


def classify(
    shares: Sequence[Share], *, ph: float | None = None, local_codes: str = ""
) -> Inferred:
    """
    Infer the codes of a mixture.

    `shares` add up to at most 100 per cent. `local_codes` is us, eu, or empty.
    Source: CLP Annex I, limits for mixtures; specific limits of Annex VI (see the hazard data).
    """
    found: dict[str, str] = {}
    assumed: list[str] = []
    for limit in mixture_limits():
        if limit.local_codes not in ("", local_codes):
            continue
        reason = _reached(limit, shares)
        if reason and limit.gives not in found:
            found[limit.gives] = reason
            if limit.assumed:
                assumed.append(f"{limit.gives} is assumed: {limit.assumed}")
    for share in shares:
        found |= {c: r for c, r in _by_own_limits(share) if c not in found}
    found |= dict(_acute(shares))
    if "H314" not in found:
        found |= dict(_by_ph(shares, ph, assumed))
    found |= dict(_supplements(shares, found))
    codes = shown_statements(sorted(found))
    return Inferred(codes, tuple(found[code] for code in codes), tuple(assumed))


def _reached(limit: MixtureLimit, shares: Sequence[Share]) -> str:
    """Return why a limit is reached, or nothing."""
    parts = [
        (share.per_cent / at, share)
        for share in shares
        if (at := _from(limit, share)) is not None
        and (share.non_additive or not limit.only_non_additive)
    ]
    if not parts:
        return ""
    reached = max(part for part, _ in parts) if limit.each else sum(part for part, _ in parts)
    if reached < 1 - _ROUND:
        return ""
    names = ", ".join(f"{share.per_cent:g} % {share.name}" for _, share in parts)
    return f"{names}: the limit is {limit.at:g} %"


def _from(limit: MixtureLimit, share: Share) -> float | None:
    """Return the share from which a substance alone would reach the limit, if it ever does."""
    endpoint = next((codes for codes in _ENDPOINTS if limit.gives in codes), {limit.gives})
    own = [own for own in share.limits if endpoint & _reach_of(own)]
    if own:
        return None  # judged by its own limits
    weight = max((limit.weights.get(code, 0.0) for code in share.codes), default=0.0)
    return limit.at / weight if weight else None


def _reach_of(limit: OwnLimit) -> frozenset[str]:
    """Return the codes that an own limit decides about; skin burns decide about eyes too."""
    codes = set(limit.codes)
    return frozenset(codes | {"H318", "H319"} if "H314" in codes else codes)


def _by_own_limits(share: Share) -> Iterator[tuple[str, str]]:
    """Yield the codes of the highest own limits that a share reaches, one for each endpoint."""
    decided: set[str] = set()
    for own in sorted(share.limits, key=lambda own: -own.at):
        if share.per_cent < own.at - _ROUND:
            continue
        for code in own.codes:
            if code not in decided:
                reason = f"{share.per_cent:g} % {share.name}: its own limit is {own.at:g} %"
                yield code, reason
        if "H314" in own.codes:
            decided |= {"H315", "H318", "H319"}
        decided |= set(own.codes)


def _acute(shares: Sequence[Share]) -> Iterator[tuple[str, str]]:
    """Yield acute toxicity by the sum of shares over their estimates."""
    for route, data in hazard_data()["acute_toxicity"].items():
        points = {code: float(value) for code, value in data["points"].items()}
        parts = [
            share.per_cent / min(points[code] for code in share.codes if code in points)
            for share in shares
            if set(points) & set(share.codes)
        ]
        if not parts:
            continue
        estimate = 100 / sum(parts) if sum(parts) else float("inf")
        order = list(data["limits"])
        worst = min(order.index(code) for share in shares for code in share.codes if code in points)
        # A converted point can lie on the limit of the category above; no mixture is worse than
        # the worst of its constituents.
        for code in order[worst:]:
            if estimate <= float(data["limits"][code]):
                yield (
                    code,
                    f"acute toxicity ({route}) of the mixture is estimated as {estimate:.4g}",
                )
                break


def _by_ph(
    shares: Sequence[Share], ph: float | None, assumed: list[str]
) -> Iterator[tuple[str, str]]:
    """Yield burns by an extreme pH; silicates of known ratio are not judged by it."""
    rule = hazard_data()["extreme_ph"]
    if any("alkali-silicate" in share.groups for share in shares):
        return
    sides = sorted({share.ph for share in shares if share.ph})
    if ph is None:
        if sides:
            side = " and ".join(sides)
            assumed.append(f"the pH is not given; the mixture is {side}, and `ph` would tell how")
        return
    if ph <= float(rule["acid"]) or ph >= float(rule["alkaline"]):
        for code in rule["gives"]:
            yield code, f"pH {ph:g}"


_NAMED = {"epoxy", "isocyanate", "chromate-cement"}
"""Groups of sensitisers that a supplemental statement of their own names."""


def _supplements(shares: Sequence[Share], found: Iterable[str]) -> Iterator[tuple[str, str]]:
    """Yield the supplemental statements that a constituent calls for."""
    given = set(found)
    for entry in hazard_data()["supplement_limits"]:
        named = [share.name for share in shares if entry["group"] in share.groups]
        if named and entry.get("unless") not in given:
            yield entry["gives"], f"contains {', '.join(named)}"
    sensitisers = [
        share
        for share in shares
        if {"H317", "H334"} & set(share.codes) and not _NAMED & set(share.groups)
    ]
    if not given & {"H317", "H334"} and any(s.per_cent >= 0.1 - _ROUND for s in sensitisers):
        names = ", ".join(share.name for share in sensitisers)
        yield "EUH208", f"contains {names} from a tenth of its limit"
    if not given and any(share.codes and share.per_cent >= 1 for share in shares):
        yield "EUH210", "not classified, but a constituent is"
