"""Rules about wording, inspired by the numbers of ASD-STE100 simplified technical English."""

from benchleaf.base.finding import Severity
from benchleaf.base.rules import Rule

ERROR, WARNING, ADVICE = Severity.ERROR, Severity.WARNING, Severity.ADVICE

LONG_SENTENCE = Rule(
    "language.long-sentence",
    WARNING,
    why="Who reads with tools in hand keeps a short sentence in mind and loses a long one.",
    mend="Make two sentences of it, or a list.",
    bad="""
operate: >-
  Turn the key on, wait until the display has shown all of its lines, and then press the up button
  until the platform stands clear.
""",
    good="operate: Turn the key on. Press the up button until the platform is clear.",
    source="inspired by ASD-STE100 (20 words in a procedural sentence, 25 in a descriptive one)",
)
LONG_PARAGRAPH = Rule(
    "language.long-paragraph",
    ADVICE,
    why="A wall of text below a command is not read while the hands are busy.",
    mend="Make steps of it, or leave out what the step does not need.",
    bad="info: (a text of nine sentences)",
    good="info: (a text of six sentences at most)",
    source="inspired by ASD-STE100 (six sentences in a paragraph)",
)
TWO_INSTRUCTIONS = Rule(
    "language.two-instructions",
    ADVICE,
    why="The second instruction of a sentence is the one that is forgotten.",
    mend="Give each instruction a sentence, or a step of its own.",
    bad="operate: Sit down on the seat and turn the key on.",
    good="operate: Sit down on the seat. Turn the key on.",
    source="inspired by ASD-STE100 (one instruction in a sentence)",
)
NOT_A_COMMAND = Rule(
    "language.not-a-command",
    ADVICE,
    why="A statement leaves open whether something is to be done or is so already.",
    mend="Begin with the verb that says what to do.",
    bad="operate: The key should be turned on.",
    good="operate: Turn the key on.",
    source="inspired by ASD-STE100 (imperative form of the verb)",
)
NOT_A_QUESTION = Rule(
    "language.not-a-question",
    ADVICE,
    why="Whoever reads a statement does not know what yes and no would mean.",
    mend="Ask one question, with a question mark.",
    bad="ask: Contactor pulls in.",
    good="ask: Does the contactor pull in?",
)
VAGUE_WORD = Rule(
    "language.vague-word",
    WARNING,
    why="Two people put two things behind this word, and both believe that they did what the card says.",
    mend="Give the limit, the number or the sight that decides.",
    bad="operate: Press the pedal for a while.",
    good="operate: Press the pedal.\nfor: 5 s",
)
LOOSE_NUMBER = Rule(
    "language.loose-number",
    WARNING,
    why="A number in running text is not checked, not converted, and forgotten when the drawing changes.",
    mend="Give it as a limit, a fastener's torque or the step's `for`, and refer to that.",
    bad="info: The lever has 12 mm of free travel.",
    good="measure: lever-free-travel      # limits: lever-free-travel: {measure: length, high: 12 mm, source: …}",
)
SIGNAL_WORD = Rule(
    "language.signal-word",
    WARNING,
    why="Signal words stand for fixed grades of danger; by hand they are soon everywhere, and nobody heeds them.",
    mend="Describe the energy or hazard in the machine file, or list it under `hazards`: the warning follows from it.",
    bad="info: 'WARNING: The axle can tip over.'",
    good="hazards: [tip-over]",
    source="ANSI Z535.6 (signal words; from memory)",
)
FORBIDDEN_WORD = Rule(
    "language.forbidden-word",
    WARNING,
    why="The shop has decided on another word for this; two words for one thing make readers look for a difference.",
    mend="Use the word that `rules.forbidden_words` of the shop gives.",
    bad="# shop.yaml: forbidden_words: {vehicle: Say carrier.}\npurpose: Find why the vehicle does not move.",
    good="purpose: Find why the carrier does not move.",
)
MARKUP = Rule(
    "language.markup",
    ERROR,
    why="Cards know emphasis, code, lists and links; anything else would be printed as signs or lost.",
    mend="Take the markup out; pictures stand under `figure`, tables are limits or lists.",
    bad="info: The <b>red</b> lead goes to B1.",
    good="info: The **red** lead goes to B1.",
)
UNBALANCED_MARKUP = Rule(
    "language.unbalanced-markup",
    WARNING,
    why="A mark that opens and never closes is printed as a star or a stroke.",
    mend="Close it, or take it out.",
    bad="info: The **red lead goes to B1.",
    good="info: The **red** lead goes to B1.",
)

RULES: tuple[Rule, ...] = (
    LONG_SENTENCE,
    LONG_PARAGRAPH,
    TWO_INSTRUCTIONS,
    NOT_A_COMMAND,
    NOT_A_QUESTION,
    VAGUE_WORD,
    LOOSE_NUMBER,
    SIGNAL_WORD,
    FORBIDDEN_WORD,
    MARKUP,
    UNBALANCED_MARKUP,
)
