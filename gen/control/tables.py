"""The tables of a ``control.toml``: the constructs that a control can spell, a closed set."""

from collections.abc import Iterable
from typing import Annotated, Literal, TypeAlias, get_args

from pydantic import Field

from gen.base.fields import Part, no_list, no_table

CODE = r"[A-Z][0-9]+(\.[0-9]+)?( [A-Z]-?[0-9]+(\.[0-9]+)?)*|[A-Z_]{2}[A-Z0-9_]*"

CodeWord: TypeAlias = Annotated[str, Field(pattern=f"^({CODE})$", examples=["M8"])]
"""A letter with its number, several of them in one block, or a keyword of letters."""


def in_ranges(number: object, ranges: Iterable[tuple[int, int]]) -> bool:
    """Whether ``number`` is a whole one that lies in one of ``ranges``, each its first and its last."""
    return isinstance(number, int) and any(first <= number <= last for first, last in ranges)


class Lexis(Part):
    """How characters make words, comments and blocks."""

    comments: list[tuple[str, str]] = Field(
        description='Pairs of opening and closing characters; an empty closing means "to the end of the line".'
    )
    messages: list[tuple[str, str]] = Field(
        default_factory=no_list,
        description='Opening and closing characters of a message that the operator is shown, such as MSG(" and ").',
    )
    message_ends: str = Field("", description="What takes a message away again, in a line of its own.")
    comment_letters: str = Field(
        description="The characters a comment may hold, as the inside of a regular-expression class."
    )
    comment_length: Annotated[int, Field(ge=8, le=1000)] = Field(100, description="The longest comment, characters.")
    message_length: Annotated[int, Field(ge=16, le=1000)] = Field(
        40, description="The longest message that the operator is shown whole, characters, its number among them."
    )
    message_prefix: str = Field(
        "", description='How a comment between the first of the pairs begins that the operator is shown: "MSG,".'
    )
    block_delete: str = Field("/", description="Begins a block that the block-delete switch leaves out; empty: none.")
    tape_mark: str = Field("%", description="Begins a line that starts or ends the file and does nothing; empty: none.")
    line_ending: Literal["\n", "\r\n"] = Field("\n", description="What ends a line in a written program.")
    letters: str = Field(
        " -~\t",
        description="The characters a line may have outside its comments, as the inside of a regular-expression class.",
    )
    line_length: Annotated[int, Field(ge=80, le=100_000)] = Field(
        255, description="The longest line that the control is known to take, bytes; its end does not count."
    )
    block_delete_numbers: bool = Field(
        True, description="Whether a number behind the block-delete character names one of several switches: /2."
    )
    acting_comments: dict[str, Literal["stops", "acts"]] = Field(
        default_factory=no_table,
        description="How comments begin, opening characters included, that do something: stops ends the program with "
        "the rest of the comment as its message, acts does what the reader does not follow, such as a file or a "
        'printout: "(ABORT," = "stops".',
    )
    number_step: Annotated[int, Field(ge=0, le=1000)] = Field(
        0, description="The step of line numbers where the machine file does not say; 0: lines have no numbers."
    )
    corners: list[str] = Field(
        default_factory=no_list,
        description='Addresses that round or cut the corner where a move ends: ",R" for ,R5.; no axis reaches it.',
    )
    axis_addresses: dict[Annotated[str, Field(pattern=r"^[A-Z]{2,}$")], Literal["moves", "known"]] = Field(
        default_factory=no_table,
        description="Addresses with an axis in square brackets: moves, it goes there in its own way; known, of no "
        'concern: POS = "moves" for POS[Z]=10.',
    )
    idle_addresses: list[str] = Field(
        default_factory=no_list,
        description='Addresses of several letters that are of no concern: "LIMS" for LIMS=2000.',
    )
    indexed: Annotated[str, Field(pattern=r"^[A-Z]*$")] = Field(
        "", description="Letters behind which a number and = say which spindle is meant: S2=500, M2=3."
    )
    main_index: int = Field(1, description="The number of the spindle that these letters mean without one.")
    coordinates: dict[Annotated[str, Field(pattern=r"^[A-Z]+$")], Literal["absolute", "incremental"]] = Field(
        default_factory=no_table, description='How a single word counts: IC = "incremental" for X=IC(5).'
    )
    equals: bool = Field(
        False, description="Whether = joins a letter to a value that is worked out: X=R1+5. A number may do without."
    )
    long_addresses: dict[str, Annotated[str, Field(pattern=r"^[A-Z]$")]] = Field(
        default_factory=no_table, description='Addresses of several letters, read as one: CR = "R" for CR=12.5.'
    )


class Places(Part):
    """Decimal places of one unit system."""

    length: Annotated[int, Field(ge=0, le=6)] = Field(description="Of a length.")
    feed: Annotated[int, Field(ge=0, le=6)] = Field(description="Of a feed.")


class Numbers(Part):
    """How numbers are written.

    ``point`` is ``always`` (``5.``), ``needed`` (``5``) or ``scaled``: whole
    numbers in units of the last decimal place (``5000`` for 5 mm at 3 places).

    Scaled are axis words, the centre and radius of an arc, F, and a dwell in
    seconds, where a whole number is all that stands behind the letter. A number
    with a point counts as it stands; so does all that is worked out: in an
    expression every constant and every variable is plain, ``X[#1+5]`` adds 5 mm.
    S, codes, line numbers and registers are never scaled.
    """

    point: Literal["always", "needed", "scaled"] = Field(
        "needed", description="Whether 5 mm is written 5., 5, or in units of the last place."
    )
    mm: Places = Field(Places(length=3, feed=1), description="Decimal places in programs in mm.")
    inch: Places = Field(Places(length=4, feed=2), description="Decimal places in programs in inches.")
    angle: Annotated[int, Field(ge=0, le=6)] = Field(3, description="Decimal places of degrees.")
    seconds: Annotated[int, Field(ge=0, le=3)] = Field(2, description="Decimal places of a dwell in seconds.")
    significant: Annotated[int, Field(ge=6, le=15)] = Field(9, description="Digits of a constant in an expression.")


class DwellWord(Part):
    """The word after the dwell code, and what it counts; ``also`` gives other words that are read, not written."""

    word: Annotated[str, Field(pattern=r"^[A-Z]$")] = Field("P", description="The letter written.")
    unit: Literal["s", "ms"] = Field("s", description="What it counts.")
    also: dict[str, Literal["s", "ms"]] = Field(
        default_factory=no_table, description="Other letters that are read, and what each counts."
    )

    @property
    def units(self) -> dict[str, Literal["s", "ms"]]:
        """Every word that may say how long, with what it counts."""
        return {**self.also, self.word: self.unit}


Operator: TypeAlias = Literal[
    "add", "subtract", "multiply", "divide", "modulo", "power", "and", "or", "xor", "bit-and", "bit-or", "bit-xor",
    "eq", "ne", "lt", "le", "ge", "gt",
]  # fmt: skip
Function: TypeAlias = Literal[
    "abs", "acos", "asin", "atan", "atan2", "ceil", "cos", "exists", "exp", "floor", "ln", "round", "round-away",
    "sin", "sqrt", "tan", "truncate",
]  # fmt: skip


class Variables(Part):
    """Variables: how one is named and set, and what an expression may hold.

    ``operators`` gives the meaning of every operator from the one that binds
    loosest to the one that binds tightest, one table a level.
    """

    sigil: Annotated[str, Field(description='What stands before the number: "#" or "R".')]
    named: bool = Field(False, description="Whether <name> may stand in place of the number.")
    brackets: tuple[str, str] = Field(("[", "]"), description="What encloses a part of an expression.")
    operators: list[dict[str, Operator]] = Field(description="Spelling to meaning, loosest level first.")
    functions: dict[str, Function] = Field(description="Spelling to meaning: ROUND = round, FIX = floor, ...")
    unset: Literal["zero", "empty"] = Field(
        "zero", description="What reads from a variable never set: 0, or empty, which equals nothing."
    )
    pause: int | None = Field(
        None, description="The variable whose assignment stops with a message until cycle start is pressed."
    )
    system_sigil: str = Field("", description='What begins the name of a variable of the control\'s own: "$".')
    alarm: int | None = Field(None, description="The variable whose assignment stops with an alarm and a message.")
    lowest: Literal[0, 1] = Field(1, description="The lowest number a variable may have.")
    highest: int | None = Field(None, description="The highest number a variable may have.")
    local: tuple[int, int] | None = Field(
        None, description="First and last of the numbers that belong to the subprogram that runs and end with it."
    )
    late_assignment: bool = Field(
        False, description="Whether a block's assignments take effect only when the whole block has been read."
    )
    bare_expressions: bool = Field(
        False, description="Whether an expression may follow the = of an assignment without brackets."
    )
    single_atan: bool = Field(False, description="Whether atan2 also takes one value, ATAN[v], beside ATAN[y]/[x].")
    atan_comma: bool = Field(False, description="Whether atan2 takes both values in one pair of brackets, ATAN2(y,x).")
    equal_within: Annotated[float, Field(ge=0)] = Field(
        0.0, description="Two values that differ by less than this are equal to EQ and NE; 0: only equal ones are."
    )
    system: list[tuple[int, int]] = Field(
        default_factory=no_list, description="First and last of the numbers that mirror or set the control's own state."
    )
    system_named: list[str] = Field(
        default_factory=no_list, description="Named variables that the control itself sets, without their brackets."
    )
    axis_order: str = Field("XYZABCUVW", description="The order in which variables that follow each other count axes.")
    position: int | None = Field(
        None, description="The variable that holds where the first axis stands, in the program's own coordinates."
    )
    frames: list[tuple[int, int]] = Field(
        default_factory=no_list,
        description="First and last of the numbers whose assignment moves what coordinates count from.",
    )
    restated: dict[str, list[tuple[int, int]]] = Field(
        default_factory=no_table,
        description="By group, first and last of the numbers whose assignment counts only when a word of the group is "
        "said again: shift = [[5210, 5219]].",
    )
    tells: dict[str, Literal["feed", "speed", "motion"]] = Field(
        default_factory=no_table,
        description='Variables, by name or number, that tell the word in force: _feed = "feed".',
    )
    counts_lines: list[str] = Field(
        default_factory=no_list, description="Variables, by name or number, that tell where in the text the program is."
    )
    position_named: list[str] = Field(
        default_factory=no_list, description="The named variables that hold the same, in the order of the axes."
    )
    modes_named: dict[str, str] = Field(
        default_factory=no_table,
        description='Named variables that are 1 while a mode is in force and 0 otherwise: _metric = "units.mm".',
    )
    places: list[tuple[int, int]] = Field(
        default_factory=no_list,
        description="First and last of the numbers that tell where axes stand; any of system may, unless these say.",
    )
    clocks: list[tuple[int, int]] = Field(
        default_factory=no_list, description="First and last of the numbers that count time, or tell what time it is."
    )
    home: int | None = Field(None, description="The variable that holds the first axis of the home position.")
    second_home: int | None = Field(None, description="The variable that holds the first axis of the second one.")

    def is_own(self, register: int | str) -> bool:
        """Whether ``register`` mirrors or sets the control's own state."""
        return register in self.system_named if isinstance(register, str) else in_ranges(register, self.system)

    def is_in_own_table(self, register: object) -> bool:
        """Whether ``register`` has a name that only variables of the control's own begin with."""
        return bool(self.system_sigil) and isinstance(register, str) and register.startswith(self.system_sigil)

    def spelled(self, register: int | str) -> str:
        """``register`` as a program writes it."""
        if isinstance(register, int):
            return f"{self.sigil}{register}"
        return f"{self.sigil}<{register}>" if self.named else register


Loss: TypeAlias = Literal["spindle", "coolant", "axes", "modes", "offsets", "variables"]
"""What may not be known any more behind a word: ``modes`` are all modal groups, feed, speed and override among them."""

LOSSES: tuple[Loss, ...] = get_args(Loss)


class Effect(Part):
    """What a word does beside what the other tables say of it."""

    does: list[str] = Field(
        default_factory=no_list, description="Switches of [codes] that it works as well: spindle_off, coolant_off."
    )
    loses: list[Loss] = Field(default_factory=no_list, description="What is not known any more behind it.")
    sets: list[tuple[int, int]] = Field(
        default_factory=no_list, description="First and last of the variables that hold its result, which is not known."
    )
    bends: bool = Field(
        False, description="Whether coordinates may be turned or scaled behind it, until the shift is cancelled."
    )
    says: str = Field("", description="What of it is not worked out, for a remark.")
    moves: bool = Field(
        False, description="Whether it moves the axes of its line until a signal comes, so that they end anywhere."
    )
    ends_motion: bool = Field(False, description="Whether the motion code in force ends with it.")


class BuilderWords(Part):
    """The words that a machine builder gives a meaning to, which is not known."""

    words: dict[Annotated[str, Field(pattern=r"^[A-Z]$")], list[tuple[int, int]]] = Field(
        description="Letter to the first and last of its numbers; words that another table names are not meant."
    )
    beside: Annotated[str, Field(pattern=r"^[A-Z]*$")] = Field(
        "", description="The letters that belong to such a word, and to no move, in its line."
    )
    loses: list[Loss] = Field(description="What is not known any more behind such a word.")

    def has(self, letter: str, value: float) -> bool:
        """Whether ``letter`` with ``value`` is one of these words."""
        return value == int(value) and in_ranges(int(value), self.words.get(letter, ()))


class OWords(Part):
    """Structured blocks led by a numbered or named O word (``o100 if [..]``)."""

    letter: str = Field("O", description="The letter that leads.")
    locals: int = Field(30, description="Variables 1 to this belong to the subprogram that runs.")


class Jumps(Part):
    """``IF [..] GOTO n`` and ``GOTO n``, to an N-number or to a label."""

    condition: str = Field("IF", description="The word of a condition.")
    bare_condition: bool = Field(False, description="Whether a condition may stand without brackets.")
    then: str = Field("", description="The word of a conditional assignment, where there is one.")
    goto: list[str] = Field(
        default_factory=no_list, description="Words that jump to the next target ahead, or else to the first there is."
    )
    forward: list[str] = Field(default_factory=no_list, description="Words that jump only ahead, such as GOTOF.")
    backward: list[str] = Field(default_factory=no_list, description="Words that jump only back, such as GOTOB.")
    target: Literal["number", "label"] = Field(
        "number",
        description="Whether a jump goes to the line with an N-number, or to a label such as DRESS_1: at its "
        "beginning, two letters at least (and then to an N-number as well, if N stands before it).",
    )

    label_end: str = Field(":", min_length=1, description="What ends a label where it stands.")

    @property
    def words(self) -> list[str]:
        """Every jump word."""
        return [*self.goto, *self.forward, *self.backward]


class Loops(Part):
    """``WHILE [..] DO m`` … ``END m``."""

    condition: str = Field("WHILE", description="The word of the condition.")
    begin: str = Field("DO", description="The word that begins a loop, before its number.")
    end: str = Field("END", description="The word that ends a loop, before its number.")


class KeywordBlocks(Part):
    """Blocks that a word of their own ends: ``IF`` … ``ELSE`` … ``ENDIF``, ``WHILE``, ``FOR R1=1 TO 5``."""

    condition: str = Field("IF", description="Begins what is done if a condition holds.")
    otherwise: str = Field("ELSE", description="Begins what is done if it does not.")
    end_condition: str = Field("ENDIF", description="Ends either.")
    while_true: str = Field("WHILE", description="Begins what is repeated while a condition holds.")
    end_while: str = Field("ENDWHILE", description="Ends it.")
    count: str = Field("FOR", description="Begins what is repeated while a variable counts up by one.")
    up_to: str = Field("TO", description="Stands before the last value.")
    end_count: str = Field("ENDFOR", description="Ends it.")
    repeat: str = Field("REPEAT", description="Begins what is repeated until a condition holds.")
    until: str = Field("UNTIL", description="Ends it, with the condition.")
    forever: str = Field("LOOP", description="Begins what is repeated for ever.")
    end_forever: str = Field("ENDLOOP", description="Ends it.")


class Declarations(Part):
    """Variables with names that a program declares: ``DEF REAL DEPTH=0.5``."""

    word: str = Field("DEF", description="The word that declares.")
    kinds: dict[str, Literal["number", "whole"]] = Field(description="The kinds of variables that are read.")
    program: str = Field("", description='What may stand before a program\'s own name in its first line: "PROC".')


class Subprograms(Part):
    """Calls of numbered programs: ``M98 P7101`` … ``M99``, or ``L7101`` … ``M17``."""

    call: str = Field("", description='The word that calls, such as "M98"; empty: the number word calls by itself.')
    number_word: str = Field("", description='The letter of the program\'s number, such as "P"; empty: no calls.')
    repeat_word: str = Field("L", description="The letter of how often.")
    number_digits: Annotated[int, Field(ge=0, le=8)] = Field(
        0, description="Digits of a program's number where those before them count how often: 4 for P51000; 0: none do."
    )
    by_name: bool = Field(False, description="Whether a line that is a program's name and no more calls it.")
    macro_call: str = Field("", description='The word that calls with values in variables of its own, such as "G65".')
    arguments: dict[Annotated[str, Field(pattern=r"^[A-Z]$")], int] = Field(
        default_factory=no_table, description="The variable that each letter of such a call sets."
    )
    ends: CodeWord = Field(description='The word that returns, such as "M99".')
    also_ends: list[CodeWord] = Field(
        default_factory=no_list, description="Other words that return; read, not written."
    )


class Flow(Part):
    """The flow constructs a control has; a table that is absent is a construct it lacks."""

    o_words: OWords | None = Field(None, description="Structured blocks led by O words.")
    jumps: Jumps | None = Field(None, description="Jumps to line numbers or labels.")
    blocks: KeywordBlocks | None = Field(None, description="Blocks that a word of their own ends.")
    declarations: Declarations | None = Field(None, description="Variables with names that a program declares.")
    loops: Loops | None = Field(None, description="Numbered loops.")
    subprograms: Subprograms | None = Field(None, description="Calls of numbered programs, and the word that returns.")
    program_letter: str = Field(
        "", description='What stands before a program number, such as "O"; empty: programs are files with names.'
    )
    headings: list[Annotated[str, Field(pattern=r"^[^{}]+\{name\}[^{}]*$")]] = Field(
        default_factory=no_list,
        description='How the line reads that begins a program with a name: "%_N_{name}_SPF"; the last is written.',
    )
    also_program_letter: str = Field(":", description="What is read in its place, and not written; empty: nothing.")

    @property
    def words(self) -> set[str]:
        """Every word of these tables."""
        jumps, loops, calls = self.jumps, self.loops, self.subprograms
        found = {*jumps.words, jumps.condition, jumps.then} if jumps is not None else set()
        found |= {loops.condition, loops.begin, loops.end} if loops is not None else set()
        found |= {calls.call, calls.macro_call, calls.ends, *calls.also_ends} if calls is not None else set()
        found |= {word for _, word in self.blocks} if self.blocks is not None else set()
        found |= {self.declarations.word, self.declarations.program} if self.declarations is not None else set()
        return found - {""}

    @property
    def program_letters(self) -> tuple[str, ...]:
        """Whatever may stand before a program number."""
        return tuple(filter(None, (self.program_letter, self.also_program_letter))) if self.program_letter else ()
