"""
Hazard statements, labels and mixtures against CLP, GHS and OSHA values.

Beside each check stands its source. `read` means that the text or the table was read; `from
memory` that it was not read again. Annexes are those of Regulation (EC) No 1272/2008 (CLP),
consolidated text of 1 September 2025.
"""

import pytest

from speccomp.cautions.hazard_data import hazard_data, statement, statements
from speccomp.cautions.labels import label_of, shown_statements, signal_word
from speccomp.cautions.mixtures import classify, molar_ratio, share_of, silicate_codes


def infer(
    *parts: tuple[str, float], form: str = "liquid", codes: str = "", ph: float | None = None
) -> tuple[str, ...]:
    shares = [share_of(name, share, form=form, local_codes=codes)[0] for name, share in parts]
    return classify(shares, ph=ph, local_codes=codes).codes


# Source: CLP Annex III, phrases read.
TEXTS = {
    "H224": "Extremely flammable liquid and vapour.",
    "H226": "Flammable liquid and vapour.",
    "H290": "May be corrosive to metals.",
    "H301": "Toxic if swallowed.",
    "H302": "Harmful if swallowed.",
    "H314": "Causes severe skin burns and eye damage.",
    "H315": "Causes skin irritation.",
    "H317": "May cause an allergic skin reaction.",
    "H318": "Causes serious eye damage.",
    "H319": "Causes serious eye irritation.",
    "H334": "May cause allergy or asthma symptoms or breathing difficulties if inhaled.",
    "H335": "May cause respiratory irritation.",
    "H336": "May cause drowsiness or dizziness.",
    "H350i": "May cause cancer by inhalation.",
    "H372": "Causes damage to organs through prolonged or repeated exposure.",
    "H373": "May cause damage to organs through prolonged or repeated exposure.",
    "H411": "Toxic to aquatic life with long lasting effects.",
    "EUH203": "Contains chromium (VI). May produce an allergic reaction.",
    "EUH205": "Contains epoxy constituents. May produce an allergic reaction.",
}
# Source: CLP Annex I, label elements by class: word and pictogram (read; H314, H315, H350 from
# memory, in agreement with the table of GHS Rev. 10).
LABELS = {
    "H225": ("danger", "GHS02"),
    "H226": ("warning", "GHS02"),
    "H290": ("warning", "GHS05"),
    "H301": ("danger", "GHS06"),
    "H302": ("warning", "GHS07"),
    "H304": ("danger", "GHS08"),
    "H314": ("danger", "GHS05"),
    "H315": ("warning", "GHS07"),
    "H317": ("warning", "GHS07"),
    "H318": ("danger", "GHS05"),
    "H319": ("warning", "GHS07"),
    "H330": ("danger", "GHS06"),
    "H334": ("danger", "GHS08"),
    "H335": ("warning", "GHS07"),
    "H350": ("danger", "GHS08"),
    "H351": ("warning", "GHS08"),
    "H360FD": ("danger", "GHS08"),
    "H372": ("danger", "GHS08"),
    "H373": ("warning", "GHS08"),
    "H400": ("warning", "GHS09"),
    "H410": ("warning", "GHS09"),
    "H411": ("", "GHS09"),
    "H412": ("", ""),
    "H413": ("", ""),
}
# Source: CLP Annex IV, phrases read.
PRECAUTIONS = {
    "P210": "Keep away from heat, hot surfaces, sparks, open flames and other ignition sources. "
    "No smoking.",
    "P260": "Do not breathe dust/fume/gas/mist/vapours/spray.",
    "P280": "Wear protective gloves/protective clothing/eye protection/face protection.",
    "P305+P351+P338": "IF IN EYES: Rinse cautiously with water for several minutes. Remove contact "
    "lenses, if present and easy to do. Continue rinsing.",
    "P391": "Collect spillage.",
    # Spelled so in the source; a slip of the consolidated text is kept.
    "P410+P412": "Protect from sunlight. Do no expose to temperatures exceeding 50 °C/122°F.",
}


@pytest.mark.parametrize("code", TEXTS)
def test_statement_texts(code: str) -> None:
    found = statement(code)
    assert found is not None
    assert found.text == TEXTS[code]


@pytest.mark.parametrize("code", LABELS)
def test_signal_words_and_pictograms(code: str) -> None:
    found = statement(code)
    assert found is not None
    assert (found.signal, found.pictogram) == LABELS[code]


@pytest.mark.parametrize("code", PRECAUTIONS)
def test_precaution_texts(code: str) -> None:
    assert hazard_data()["precautions"][code] == PRECAUTIONS[code]


def test_every_precaution_that_a_statement_names_has_its_text() -> None:
    known = set(hazard_data()["precautions"])
    for found in statements().values():
        assert set(found.precautions) <= known, found.code


def test_each_entry_says_how_it_is_known() -> None:
    for found in statements().values():
        assert found.known.startswith(("read", "from memory"))
    for entry in hazard_data()["substances"].values():
        assert entry["known"]


# Set of codes, pictograms, word. Sources: CLP article 26 (1) (b) to (d), read; article 20 and 27,
# from memory; 29 CFR 1910.1200 Appendix C, C.2.1: danger excludes warning (read in a summary).
PRECEDENCE = [
    ("H314 H315 H319 H302", "GHS05 GHS07", "danger"),  # corrosion spares GHS07 for H302
    ("H318 H315", "GHS05", "danger"),
    ("H318 H317", "GHS05 GHS07", "danger"),
    ("H334 H317 H315 H319", "GHS08", "danger"),
    ("H301 H315 H317", "GHS06", "danger"),
    ("H350i H315", "GHS07 GHS08", "danger"),  # GHS08 for cancer suppresses nothing
    ("H372 H317", "GHS07 GHS08", "danger"),
    ("H226 H302", "GHS02 GHS07", "warning"),
    ("H411", "GHS09", ""),
    ("H290 H314", "GHS05", "danger"),
    ("H335 H314", "GHS05 GHS07", "danger"),
    ("H334 H335", "GHS07 GHS08", "danger"),
    ("", "", ""),
]


@pytest.mark.parametrize(("codes", "pictograms", "word"), PRECEDENCE)
def test_precedence(codes: str, pictograms: str, word: str) -> None:
    label = label_of(codes.split())
    assert " ".join(label.pictograms) == pictograms
    assert label.signal == word


def test_a_gas_cylinder_may_be_left_out_beside_a_flame() -> None:
    # Source: CLP article 26 (1) (e), read.
    label = label_of(["H222", "H280"])
    assert label.pictograms == ("GHS02",)
    assert label.optional == ("GHS04",)


def test_redundant_statements_are_dropped() -> None:
    # Source: CLP article 27, from memory.
    assert shown_statements(["H314", "H315", "H319", "H302"]) == ("H314", "H302")
    assert shown_statements(["H400", "H410"]) == ("H410",)
    assert shown_statements(["H318", "H315"]) == ("H318", "H315")


def test_the_word_does_not_depend_on_the_order() -> None:
    assert signal_word(["H315", "H314"]) == signal_word(["H314", "H315"]) == "danger"


# Share in per cent by mass, codes. Source: CLP Annex VI index 015-011-00-6, as quoted in the
# registration dossier of phosphoric acid, section 7.4.1 (read): skin corrosion 1B from 25 %,
# irritation from 10 %.
PHOSPHORIC = [
    (85, "H314"),
    (25, "H314"),
    (24.9, "H315 H319"),
    (10, "H315 H319"),
    (9.9, "EUH210"),
]


@pytest.mark.parametrize(("share", "codes"), PHOSPHORIC)
def test_phosphoric_acid(share: float, codes: str) -> None:
    assert infer(("phosphoric-acid", share)) == tuple(codes.split())


def test_dilute_acid_without_ph_is_flagged() -> None:
    part, _ = share_of("phosphoric-acid", 9.9, form="liquid")
    assert any("pH" in note for note in classify([part]).assumptions)


# Source: CLP Annex VI index 011-002-00-6: 5, 2 and 0.5 % (read as quoted, and before CLP).
SODIUM_HYDROXIDE = [(5, "H314"), (2, "H314"), (1, "H315 H319"), (0.5, "H315 H319"), (0.4, "")]


@pytest.mark.parametrize(("share", "codes"), SODIUM_HYDROXIDE)
def test_sodium_hydroxide(share: float, codes: str) -> None:
    assert infer(("sodium-hydroxide", share)) == tuple(codes.split())


def test_potassium_hydroxide_is_harmful_by_its_estimate() -> None:
    # 100 / (30 / 500) = 1667 mg/kg, below 2000. Source: CLP Annex I, 3.1.3.6 and table 3.1.2
    # (from memory); worked by hand.
    assert infer(("potassium-hydroxide", 30)) == ("H302", "H314")
    assert infer(("potassium-hydroxide", 24)) == ("H314",)  # 2083 mg/kg
    # Corrosion spares the exclamation mark of H302. Source: CLP article 26 (1) (c), read.
    label = label_of(infer(("potassium-hydroxide", 30)))
    assert (label.signal, label.pictograms) == ("danger", ("GHS05", "GHS07"))


# Source: self-classification of the industry for fine quartz, STOT RE 1 (read); the general
# limits 10 % and 1 % of CLP table 3.9.4 (from memory).
SILICA = [(40, "H372"), (10, "H372"), (9.9, "H373"), (5, "H373"), (1, "H373"), (0.5, "")]


@pytest.mark.parametrize(("share", "codes"), SILICA)
def test_crystalline_silica(share: float, codes: str) -> None:
    assert infer(("crystalline-silica", share), form="powder") == tuple(codes.split())


def test_the_label_of_crystalline_silica() -> None:
    # Source: CLP table 3.9.4, label elements of STOT RE (read).
    strong, weak = (label_of(infer(("crystalline-silica", n), form="powder")) for n in (40, 5))
    assert (strong.signal, strong.pictograms) == ("danger", ("GHS08",))
    assert (weak.signal, weak.pictograms) == ("warning", ("GHS08",))


def test_crystalline_silica_under_osha() -> None:
    # Source: 29 CFR 1910.1200, carcinogens from 0.1 % (from memory); silica as group 1 of IARC.
    assert infer(("crystalline-silica", 40), form="powder", codes="us") == ("H350", "H372")
    assert infer(("crystalline-silica", 0.1), form="powder", codes="us") == ("H350",)
    assert infer(("crystalline-silica", 0.09), form="powder", codes="us") == ()


def test_epoxy_resin() -> None:
    # Source: CLP Annex VI index 603-074-00-8: H315 and H319 from 5 % (read for the pure diglycidyl
    # ether); aquatic sums of CLP table 4.1.2 (from memory): 10 x 4 = 40 is above 25.
    assert infer(("epoxy-resin", 30)) == ("EUH205", "H315", "H317", "H319", "H411")
    assert infer(("epoxy-resin", 4)) == ("EUH205", "H317", "H412")
    label = label_of(infer(("epoxy-resin", 30)))
    assert (label.signal, label.pictograms) == ("warning", ("GHS07", "GHS09"))
    label = label_of(infer(("epoxy-resin", 4)))
    assert (label.signal, label.pictograms) == ("warning", ("GHS07",))


def test_mdi() -> None:
    # Source: CLP Annex VI index 615-005-00-9: H334 from 0.1 % and H335 from 5 % (read as quoted),
    # irritation from 5 % (from memory).
    codes = infer(("mdi", 1))
    assert codes == ("EUH204", "H317", "H334", "H351")
    assert label_of(codes).pictograms == ("GHS08",)
    assert "H334" in infer(("mdi", 0.1))
    assert "H334" not in infer(("mdi", 0.09))


def test_portland_cement() -> None:
    # Source: a trade guideline for cement data sheets (read in part); CLP tables 3.2.3, 3.3.3,
    # 3.8.3 (from memory): 30 % is above 3, 10 and 20 %.
    codes = infer(("portland-cement", 30), form="powder")
    assert codes == ("H315", "H318", "H335")
    assert label_of(codes).pictograms == ("GHS05", "GHS07")
    assert "H317" in infer(("portland-cement-with-chromate", 30), form="powder")
    assert "EUH203" not in infer(("portland-cement-with-chromate", 30), form="powder")
    # Source: CLP Annex II 2.3 (read): EUH203, unless H317 stands on the label already.
    few = infer(("portland-cement-with-chromate", 0.5), ("alumina", 99.5), form="powder")
    assert few == ("EUH203",)
    assert "EUH203" not in infer(("portland-cement", 30), form="powder")


def test_borax() -> None:
    # Source: generic limit 0.3 % for reproduction 1B, in force for borates since 17 December 2022
    # (read in a report of a trade association); the old 5.5 % no longer holds.
    assert infer(("borax", 1), form="powder") == ("H360FD",)
    assert infer(("borax", 0.3), form="powder") == ("H360FD",)
    assert infer(("borax", 0.29), form="powder") == ()


def test_silicate_ratios() -> None:
    # Molar masses: Na2O 61.98, K2O 94.20, SiO2 60.08 g/mol; 61.98/60.08 = 1.0316 and
    # 94.20/60.08 = 1.5679, worked by hand. The bands are habit of the industry, from memory.
    assert molar_ratio(3.22, "sodium-silicate") == pytest.approx(3.32, abs=0.005)
    assert molar_ratio(2.1, "potassium-silicate") == pytest.approx(3.29, abs=0.005)
    assert silicate_codes(3.32, "liquid") == ("H315", "H319")
    assert silicate_codes(1.6, "liquid") == ("H314",)
    assert silicate_codes(1.61, "liquid") == ("H315", "H318")
    assert silicate_codes(None, "liquid") == ("H314",)


def test_a_silicate_of_known_ratio_is_not_judged_by_its_ph() -> None:
    # A pH of 12 alone would make every silicate corrosive; other data win by CLP 3.2.3.1.2 (read).
    part, assumed = share_of("sodium-silicate", 38, form="liquid", weight_ratio=3.22)
    assert classify([part], ph=12.0).codes == ("H315", "H319")
    assert assumed == ()


def test_a_silicate_without_ratio_is_the_strongest_and_says_so() -> None:
    part, assumed = share_of("potassium-silicate", 38, form="liquid")
    assert classify([part]).codes == ("H314",)
    assert any("molar_ratio" in note for note in assumed)


def test_extreme_ph() -> None:
    # Source: CLP Annex I, 3.2.3.1.2: pH up to 2 or from 11.5 (read).
    assert infer(("sodium-hydroxide", 0.4), ph=11.5) == ("H314",)
    assert infer(("sodium-hydroxide", 0.4), ph=11.4) == ()
    assert infer(("phosphoric-acid", 5), ph=2.0) == ("H314",)


def test_fluorosilicate_hardener() -> None:
    # 10 % of a substance with the points 100, 300 and 0.5: 1000 and 3000 mg/kg, 5 mg/L.
    # Source: CLP table 3.1.2, converted points (from memory); worked by hand.
    assert infer(("sodium-fluorosilicate", 10), form="powder") == ("H302", "H332")
    assert infer(("sodium-fluorosilicate", 100), form="powder") == ("H301", "H311", "H331")


def test_a_sensitiser_below_its_limit_is_named() -> None:
    # Source: CLP Annex II 2.8: EUH208 from a tenth of the limit (from memory).
    assert "EUH208" in infer(("methylenedianiline", 0.15))
    assert "EUH208" not in infer(("alumina", 100))


def test_zinc_oxide_sums() -> None:
    # Source: CLP tables 4.1.1 and 4.1.2 (from memory): 25 % H410, 2.5 % H411, 0.25 % H412.
    assert infer(("zinc-oxide", 25), form="powder") == ("H410",)
    assert infer(("zinc-oxide", 2.5), form="powder") == ("H411",)
    assert infer(("zinc-oxide", 0.25), form="powder") == ("H412",)
    assert infer(("zinc-oxide", 0.2), form="powder") == ()
