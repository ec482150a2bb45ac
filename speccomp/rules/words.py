"""Word lists of the wording rules, in English. Common practice, no source, where none is named."""


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


VERBS = _words(
    """
    abrade accept acclimatise acclimatize accumulate act activate add adjust affix agitate aim air
    alert align allow alternate analyse analyze anchor angle anneal answer apply approve arrange ask
    assemble assess assign attach attend avoid await back bag bake balance bare beat bed begin bend
    bind blast bleed blend block blot blow boil bolt bond book bore bottle box brace break bring
    brush bubble build bundle burn burnish butter bypass calculate calibrate call cancel cap carry
    cast catch center centre centrifuge chalk chamfer change charge check chill chip choke choose
    clamp clarify clean clear click clip clock close coat coil collect comb combine commence compact
    compare compile complete compress condition confine confirm connect consult contact contain
    continue control convert cool copy cork correct count countercheck countersink cover crack
    crease crimp crush cup cure cushion cut cycle dab damp dampen date de-air de-energise
    de-energize deaerate deair debur deburr decant decide decontaminate decouple decrease defrost
    degas degrease dehumidify deliver demold demould deposit depress depressurise depressurize
    describe desiccate destroy detach determine dial dilute dip direct disassemble discard discharge
    disconnect discuss disinfect dislodge dismantle dispatch dispense dispose dissolve distribute
    divide do document dose dot double double-check drag drain draw dress drill drip drive drop dry
    dump dust earmark earth ease edge eject empty emulsify encapsulate enclose end energise energize
    engage engrave enlarge ensure enter equalise equalize equip erase escort establish estimate
    evacuate evaluate even examine exchange exclude execute exert expel expose extend extinguish
    extract face familiarise familiarize fan fasten feather feed feel fetch file fill filter find
    finish fire fit fix flag flame flatten flip float flood fluff flush foam fold follow force form
    forward free freeze gather gauge get give glaze glue go grade grasp grease grind grip ground
    group guard guide halve hammer hand handle hang harden heat help hoist hold hook hose identify
    ignite illuminate immerse immobilise immobilize impregnate imprint increase incubate indent
    inflate inform infuse initial inject ink inscribe insert inspect install insulate interlock
    interrupt introduce invert investigate iron isolate issue jam join judge keep kit knead knock
    knot label ladle laminate lash latch lay lead lean leave let level lever lie lift light limit
    line link list listen load locate lock log look loop loosen lower lubricate lute machine magnify
    maintain make manage mark mash mask massage match mate measure meet melt mend meter mill mind
    mist mix moisten mold monitor mop mould mount move name nest neutralise neutralize notch note
    notify nudge number observe obtain offer offset oil open operate order orient outgas oven-dry
    overcoat overfill overlap oversee overturn pace pack pad paint park partition pass paste pat
    pause peel perforate perform pick pierce pin pipe pipette place plan plate plug plumb plunge
    point polish pop portion position postpone pot pour power pre-wet preload prepare present press
    pressurise pressurize prevent prick prime print probe proceed process produce prop proportion
    protect prove provide pull pulse pump punch puncture purge push put quantify quarantine quench
    rack raise rake ram ramp rate reach reactivate read readjust ream reapply reassemble reblend
    recalibrate recap receive recharge recheck reckon reclean reclose recoat reconcile reconnect
    record recover rectify recycle redo reduce refasten refer refill refit refresh refrigerate
    regrind regulate reheat reinstall reject relabel relax release relieve reload relocate remelt
    remix remove rename renew reopen repack repair repeat replace report reposition request rerun
    reseal reset resolve rest restart restore resume retain retest retighten retract retrieve return
    reuse reverse review revise rewet rewind rework rig ring rinse rivet rock roll rotate round rub
    run sample sand sandblast saturate save saw say scald scale scan scatter scoop score scrap
    scrape scratch screed screen screw scrub seal seat seclude section secure see seek segregate
    select send separate sequence serialise serialize serve set settle shade shake shape sharpen
    shave shear shield shift shim ship short shorten shovel show shroud shut sieve sift sign signal
    sink sinter siphon sit sketch skim skip slacken sleeve slice slide slip slit slope slow smear
    smooth smoothen snap snip soak soften solder solidify solve sort space spatulate specify spill
    spin split sponge spool spoon spot spray spread sprinkle square squeeze squirt stabilise
    stabilize stack stage stamp stand staple start station stay steady steam steep steer step
    sterilise sterilize stick stir stitch stop store straighten strain strap stream stretch strike
    strip stroke stuff submerge suck sum summarise summarize supervise supply support surround
    suspend swab swap sweep swing swirl switch swivel synchronise synchronize syringe tabulate tack
    tag take tally tamp tap tape taper tare tear tease tell tension tent terminate test thaw thicken
    thin thread throttle throw thrust tick tidy tie tighten tilt time tint tip titrate toggle top
    torque toss touch trace track trail train transfer transport trap treat trial trickle trigger
    trim trip trowel try tuck tumble tune turn twist unblock unbolt uncap unclamp unclip uncoil
    uncover undercoat underline understand undo unfold unhook unite unlatch unload unlock unmask
    unmold unmould unpack unpin unplug unroll unscrew unseal unstack untape untie untwist unwrap
    update upend use vacate vacuum vacuum-bag validate vaporise vaporize vary vent ventilate verify
    vibrate view void wad wait walk warm warn wash watch water wax wear wedge weigh weld wet whip
    whisk wick widen wiggle wind wipe wire withdraw work wrap wring write zero zip
    """
)
"""Base forms that can begin an instruction."""

CLEAR_VERBS = _words(
    """
    add adjust align apply assemble attach avoid bring calculate calibrate choose collect compare
    complete confirm connect decant degrease demould detach determine discard disconnect dispense
    dissolve divide drain empty ensure evacuate examine expel fasten fetch fill flatten follow give
    heat hold immerse inform inject insert inspect install invert isolate join keep knead lay leave
    let loosen maintain make measure mix moisten mount notify obtain pick pour prepare press prevent
    protect provide pull purge push put quarantine raise reject remove repeat replace return rinse
    scrape secure segregate select send separate shake shut sieve sift squeeze stir stop store
    submerge take tamp tap tare tell tighten tilt transfer turn twist unload unscrew unwrap use
    verify vibrate wait wear weigh wipe withdraw wrap write
    """
)
"""Verbs that are hardly ever a noun or an adjective at the start of a clause."""

NOUNS = _words(
    """
    fetch fill heat hold measure mix mount pour press pull push shake squeeze stop store tap
    transfer turn twist use
    """
)
"""Those of the clear verbs that can be a noun at the start of a sentence."""

FINITE = _words(
    "is are was were must has have had will would can could may might shall should needs becomes"
)
"""Words before which a verb's form is a noun: `paste must be mixed` tells nobody to paste."""

ONWARD = _words("always never please then next first now also again last finally")
"""Words that may stand before the verb of an instruction."""

CONDITIONS = _words(
    "when whenever if unless once after before while until as where wherever should"
)
"""Words that open a condition, which a comma ends."""

OPENINGS = _words(
    """
    with without for at in on onto into from to within by during between under over through per upon
    of except beside besides instead inside outside behind above below near every each
    """
)
"""Words that open a leading phrase, which a comma ends."""

DETERMINERS = _words(
    """
    the a an each every all any both it them this these those that its their his her your one two
    three four five six ten half no some another
    """
)
"""Words that can follow a verb and not the noun or adjective of the same form."""

ABBREVIATIONS = _words(
    "approx. e.g. i.e. etc. no. nos. fig. max. min. ca. cf. vs. temp. dia. incl. dept. ext."
)
"""Words whose full stop does not end a sentence."""

VAGUE = (
    "a bit",
    "a few",
    "a little",
    "acceptable",
    "acceptably",
    "adequate",
    "adequately",
    "and so on",
    "and/or",
    "applicable",
    "appropriate",
    "appropriately",
    "approx",
    "approximately",
    "as needed",
    "as necessary",
    "as required",
    "as soon as possible",
    "as usual",
    "carefully",
    "correctly",
    "desired",
    "enough",
    "etc",
    "excessive",
    "excessively",
    "for a while",
    "from time to time",
    "frequently",
    "generously",
    "if desired",
    "if necessary",
    "if needed",
    "if possible",
    "if required",
    "in good condition",
    "nearly",
    "normal",
    "normally",
    "occasionally",
    "often",
    "optimal",
    "periodically",
    "preferably",
    "proper",
    "properly",
    "reasonable",
    "reasonably",
    "regularly",
    "roughly",
    "satisfactorily",
    "satisfactory",
    "several",
    "sparingly",
    "sufficient",
    "sufficiently",
    "suitable",
    "suitably",
    "tbd",
    "thoroughly",
    "to be decided",
    "to be defined",
    "to be determined",
    "usual",
    "usually",
    "various",
    "very",
    "when needed",
    "when necessary",
    "when required",
    "where necessary",
    "where possible",
)
"""Words by which two people do different things."""
