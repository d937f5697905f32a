"""Closed classes of words by language: what a line should not end or begin with.

Function words of each language (any grammar lists them), no more; languages
that are not here are broken at punctuation and pauses alone. The chess words
are those of the trade.
"""

from __future__ import annotations

from dataclasses import dataclass


def _set(text: str) -> frozenset[str]:
    return frozenset(text.split())


@dataclass(frozen=True, slots=True)
class WordClasses:
    """Words by what they do. ``before``: good to break before; ``tied``: never to break after."""

    articles: frozenset[str] = frozenset()
    prepositions: frozenset[str] = frozenset()
    conjunctions: frozenset[str] = frozenset()
    relatives: frozenset[str] = frozenset()
    pronouns: frozenset[str] = frozenset()
    auxiliaries: frozenset[str] = frozenset()
    particles: frozenset[str] = frozenset()
    titles: frozenset[str] = frozenset()
    modifiers: frozenset[str] = frozenset()


ENGLISH = WordClasses(
    articles=_set(
        "a an the this that these those my your his her its our their whose some any no every each another both all "
        "white's black's one two three four five six seven eight nine ten"
    ),
    prepositions=_set(
        "about above across after against along among around as at before behind below beneath beside besides between "
        "beyond by despite down during except for from in inside into like near of off on onto opposite out outside over "
        "past per since than through till to toward towards under until up upon via with within without"
    ),
    conjunctions=_set("and but or nor so yet because although though unless while whereas if when whenever once since"),
    relatives=_set("which who whom whose that where why how what whether"),
    pronouns=_set("i you he she it we they who there"),
    auxiliaries=_set(
        "am is are was were be been being have has had having do does did will would shall should can could may might "
        "must ought not cannot can't won't don't doesn't didn't isn't aren't wasn't weren't wouldn't couldn't shouldn't "
        "hasn't haven't hadn't mustn't never just even i'm you're he's she's it's we're they're i've you've we've they've "
        "i'd you'd he'd she'd we'd they'd i'll you'll he'll she'll it'll we'll they'll there's that's let's to very too "
        "really quite so more most less"
    ),
    particles=_set("up down out off away back over in on through around along"),
    titles=_set("mr mrs ms dr sir lord lady prof professor saint st gm im fm wgm"),
    modifiers=_set(
        "white black light dark good bad big small little long short old new first second third fourth fifth sixth seventh "
        "eighth next last only same other best worst better weak strong open half-open closed back passed isolated backward "
        "doubled extra whole great nice poor young free main left right final such own"
    ),
)
GERMAN = WordClasses(
    articles=_set(
        "der die das den dem des ein eine einen einem einer eines kein keine keinen mein meine dein deine sein seine seinen "
        "ihr ihre ihren unser unsere dieser diese dieses diesen jeder jede jedes"
    ),
    prepositions=_set(
        "an auf aus bei bis durch für gegen hinter im in ins mit nach neben ohne seit über um unter von vom vor zu zum zur "
        "zwischen am ans"
    ),
    conjunctions=_set("und oder aber denn sondern weil wenn dass obwohl während damit als ob bevor nachdem"),
    relatives=_set("welcher welche welches wer was wo wie warum"),
    pronouns=_set("ich du er sie es wir ihr man"),
    auxiliaries=_set(
        "ist sind war waren hat haben hatte wird werden kann können muss müssen soll will nicht nie sehr zu"
    ),
)
FRENCH = WordClasses(
    articles=_set(
        "le la les l un une des du de d ce cet cette ces mon ma mes ton ta tes son sa ses notre nos votre vos leur leurs chaque"
    ),
    prepositions=_set(
        "à au aux avec chez contre dans de derrière dès devant en entre jusque par parmi pour sans sous sur vers"
    ),
    conjunctions=_set("et ou mais donc or ni car parce lorsque quand si comme puisque quoique"),
    relatives=_set("qui que quoi dont où comment pourquoi"),
    pronouns=_set("je j tu il elle on nous vous ils elles"),
    auxiliaries=_set("est sont était a ai as ont avait va vont peut doit fait ne n pas jamais très plus se s"),
)
SPANISH = WordClasses(
    articles=_set(
        "el la los las un una unos unas mi mis tu tus su sus nuestro este esta estos estas ese esa cada lo del al"
    ),
    prepositions=_set("a ante bajo con contra de desde durante en entre hacia hasta para por según sin sobre tras"),
    conjunctions=_set("y e o u pero sino porque si cuando aunque mientras como pues"),
    relatives=_set("que quien cual donde cómo qué"),
    pronouns=_set("yo tú él ella usted nosotros ellos ellas se"),
    auxiliaries=_set("es son era está están ha han había va puede debe no nunca muy más"),
)
ITALIAN = WordClasses(
    articles=_set(
        "il lo la i gli le l un uno una mio mia suo sua suoi sue nostro questo questa questi ogni del della dei al alla"
    ),
    prepositions=_set(
        "a con contro da dal di dietro dopo fra in nel nella per senza sopra sotto su sul sulla tra verso"
    ),
    conjunctions=_set("e ed o ma perché se quando mentre anche quindi però"),
    relatives=_set("che chi cui dove come cosa"),
    pronouns=_set("io tu lui lei noi voi loro si"),
    auxiliaries=_set("è sono era ha hanno aveva va può deve non mai molto più"),
)
DUTCH = WordClasses(
    articles=_set("de het een mijn jouw zijn haar ons onze hun deze dit die dat elke geen"),
    prepositions=_set(
        "aan achter bij door in langs met na naar naast om onder op over te tegen tot uit van voor zonder tussen"
    ),
    conjunctions=_set("en of maar want omdat als toen terwijl hoewel dus"),
    relatives=_set("wie wat waar hoe waarom welke"),
    pronouns=_set("ik jij je hij zij ze wij we jullie u het"),
    auxiliaries=_set("is zijn was waren heeft hebben had wordt worden kan moet zal niet nooit heel zeer"),
)
PORTUGUESE = WordClasses(
    articles=_set(
        "o a os as um uma uns umas meu minha seu sua seus suas este esta esse essa cada do da dos das no na ao"
    ),
    prepositions=_set("a ante até com contra de desde em entre para por sem sob sobre"),
    conjunctions=_set("e ou mas porque se quando embora enquanto como pois"),
    relatives=_set("que quem qual onde como"),
    pronouns=_set("eu tu ele ela você nós eles elas se"),
    auxiliaries=_set("é são era está tem têm tinha vai pode deve não nunca muito mais"),
)

LANGUAGES: dict[str, WordClasses] = {
    "en": ENGLISH, "de": GERMAN, "fr": FRENCH, "es": SPANISH, "it": ITALIAN, "nl": DUTCH, "pt": PORTUGUESE,
}  # fmt: skip


def word_classes(language: str) -> WordClasses:
    """The classes for a BCP 47 language tag; empty ones for a language that is not known here."""
    return LANGUAGES.get(language.split("-")[0].lower(), WordClasses())


PAUSE_LABELS: dict[str, str] = {
    "en": "pause to think", "de": "Denkpause", "fr": "pause pour réfléchir", "es": "pausa para pensar",
    "it": "pausa per pensare", "nl": "denkpauze", "pt": "pausa para pensar", "sv": "betänketid", "da": "tænkepause",
    "no": "tenkepause", "pl": "czas na zastanowienie", "cs": "čas na přemýšlení", "fi": "mietintätauko",
    "ro": "pauză de gândire", "hu": "gondolkodási szünet",
}  # fmt: skip
"""What the label at a think-pause says, by language (our own wording)."""


def pause_label(language: str) -> str:
    """The label's text; English where there is none in the language."""
    return PAUSE_LABELS.get(language.split("-")[0].lower(), PAUSE_LABELS["en"])
