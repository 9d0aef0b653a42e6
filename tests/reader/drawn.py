"""Random programs in the words of RS274/NGC: most lines are right, some are what a control refuses."""

from __future__ import annotations

from random import Random

EXPRESSIONS = (
    "[{a}+{b}]", "[{a}-{b}*2]", "[{a}/4]", "[ABS[{a}]+{b}]", "[SQRT[ABS[{a}]]]", "[FIX[{a}]]", "[FUP[{a}/3]]",
    "[ROUND[{a}]]", "[{a} MOD 3]", "[2**2+{a}]", "[[{a} GT {b}]*5]", "[{a} AND {b}]", "[ATAN[{a}]/[3]/10]",
    "[COS[60]*{a}]", "[{a} LE {b} OR 0]", "[#<_x>+{a}]", "[#<_y>-#<_metric>]", "[#<_absolute>*2+#<_inverse_time>]",
    "#1", "#2", "-#1", "[#<_depth>+{a}]", "##3", "[#5420+{a}]", "[#5421/2]",
)  # fmt: skip
ODD = (
    "G0 G1 X1", "M3 M4", "M8 M9", "X1 X2", "G53 G53 G0 X0", "G1 X", "G1 X2 F0", "G4 P1 G53 G0 X1", "G2 X1 Y1", "G5 X1",
    "G94\nG1 X3", "G0 X--1", "G0 X1 Q2", "#5=", "G0 X[1+", "G0 X[1/0]", "G0 X#<nothing>", "G0 X#<_elsewhere>",
    "G0 X[#5400+1]", "G0 X#5220", "G10 L20 X1", "G10 L20 P9 X1", "G10 L2 P1 X1 G0", "G92 G53 G0 X1",
    "G91 G53 G0 X1\nG90", "M123", "M200", "o77 call [1]", "G38.2 Z-1 F10", "G38.3 X4 F20\nX5", "G38.2 G1 X4 F10",
    "G38.2 F5", "G80\nX1", "G1 X1 (A (B) C)", "(abort, drawn)", "(print, x)", ";py,x", "G0 X1\u00a0",
    "G41 D1\nG1 X9\nG40", "M0 M2", "G52 X1 G0", "G52", "G28.1 G0 X2", "G28.1 G53 X3", "M66 P1 L3 Q1\nG0 X#5399",
    "G10 L1 P1 Z2", "G10 L10 P1 Z2", "G43.1 Z3\nG0 Z1\nG49", "G43 H1\nG0 Z2\nG49", "G96 S100 M3\nG97 S300", "/2 G0 X1",
    "G0 X1 / Y2", "F-1", "S-1 M3", "N1 N2 G0 X1", "G7\nG0 X2\nG8", "M2 M5", "G10 L2 P7 X2\nG59.1 G0 X1\nG54",
    "G0 X1 (MSG,A) (B)", "G90 G91", "#5221=3\nG0 X1", "G64 P0.1", "G61", "G81 X1 Z-1 R2\nX2\nG80",
    "G73 Z-1 R1 Q.5\nG80", "M6 T1", "G1 X#[#5400]", "o99 if [#5400 GT 1]\nG0 X3\no99 endif", "G33 Z1 K1", "M98 P1",
    "G98 G81 Z1 R2 L2\nG80", "E5", "G0 X1", " ", "M66 P0 L0", "G0 X1 ; the rest", "(MSG, to the operator)", "G4 P-1",
    "G20 G1 X1 F5",
)  # fmt: skip
"""Lines that the control refuses, that the reader does not follow, or that are rare."""


class Drawn:
    """One program; ``odd`` is the share of lines that are drawn from :data:`ODD`."""

    def __init__(self, seed: int) -> None:
        self.draw = Random(seed)
        self.odd = self.draw.choice((0.0, 0.0, 0.05, 0.1, 0.2))
        self.count = 0
        self.turning = self.absolute = True
        self.lines: list[str] = []

    def text(self) -> str:
        draw = self.draw
        self.lines = [draw.choice(("G21 G90 G94 G17", "G20 G90 G94 G17", "g21 g90 g94 g17", "G21\nG90 G94 G17"))]
        self.lines += ["#1=2.5", "#2=-4", "#3=1", "#<_depth>=1.25", f"F{draw.choice((60, 100.5, 300))} S500"]
        if draw.random() < 0.4:
            self.subprogram()
        for _ in range(draw.randint(4, 14)):
            self.lines.append(self.line())
        return "\n".join([*self.lines, "M2", ""])

    # -- values

    def number(self, scale: float = 20) -> str:
        value = round(self.draw.uniform(-scale, scale), self.draw.choice((0, 1, 2, 3)))
        text = f"{value:.3f}".rstrip("0")
        return self.draw.choice((text, text.rstrip(".") or "0", f"+{text}" if value >= 0 else text, f" {text}"))

    def value(self) -> str:
        if self.draw.random() < 0.7:
            return self.number()
        numbers = {name: f"{round(self.draw.uniform(-9, 9), 2):g}" for name in "ab"}
        return self.draw.choice(EXPRESSIONS).format(**numbers)

    def axes(self, most: int = 3) -> str:
        letters = self.draw.sample("XYZA" if self.draw.random() < 0.3 else "XYZ", self.draw.randint(1, most))
        return " ".join(letter + self.value() for letter in letters)

    # -- lines

    def line(self) -> str:
        draw = self.draw
        if draw.random() < self.odd:
            return draw.choice(ODD)
        kinds = (
            self.move, self.move, self.move, self.arc, self.arc, self.frame, self.frame, self.mode, self.switch,
            self.assign, self.structure, self.feed_mode, self.home, self.around, self.dwell,
        )  # fmt: skip
        made = draw.choice(kinds)()
        if "\n" not in made and draw.random() < 0.1:
            made = f"/{made}"
        if "\n" not in made and draw.random() < 0.15:
            made = f"N{draw.randint(1, 9999)} {made}" if not made.startswith(("/", "o")) else made
        if "\n" not in made and draw.random() < 0.1:
            made += draw.choice((" (A REMARK)", " ;(A REMARK", "\t"))
        return made

    def move(self) -> str:
        code = self.draw.choice(("G0 ", "G1 ", "G01", "G0", "g1 ", ""))
        feed = self.draw.choice(("", "", f" F{self.draw.randint(1, 500)}", " F[20*#3]"))
        code = code or self.draw.choice(("G0 ", "G1 "))
        return f"{code}{self.axes()}{feed}"

    def arc(self) -> str:
        draw = self.draw
        code, radius = draw.choice(("G2", "G3")), round(draw.uniform(0.5, 9), 2)
        plane, (i, j), (x, y), z = draw.choice(
            (("G17", "IJ", "XY", "Z"), ("G18", "KI", "ZX", "Y"), ("G19", "JK", "YZ", "X"))
        )
        kind = draw.randrange(5)
        turns = draw.choice(("", "", "", " P2", " P3")) if kind != 4 else ""
        rise = draw.choice(("", "", f" {z}{self.number(3)}"))
        match kind:
            case 0:
                words = f"{i}{radius}"
            case 1:
                words = f"{x}{2 * radius:g} {i}{radius}"
            case 2:
                words = f"{x}{radius:g} {y}{draw.choice((radius, -radius)):g} {i}{radius}"
            case 3:
                words = f"{y}{-2 * radius:g} {j}{-radius}"
            case _:
                words = f"{x}{radius:g} {y}{radius / 2:g} R{draw.choice((1, -1)) * radius:g}"
        if draw.random() < 0.15:
            return f"{plane}\nG90 {code} {words}{rise}{turns}\nG17"
        return f"{plane} G91\n{code} {words}{rise}{turns}\nG90 G17"

    def frame(self) -> str:
        draw = self.draw
        return draw.choice(
            (
                f"G10 L2 P{draw.randint(1, 6)} X{self.number()} Y{self.number()}",
                draw.choice(("G54", "G55", "G59", "G59.1")),
                f"G92 {draw.choice('XYZ')}{self.number()}",
                f"G52 {draw.choice('XYZ')}{self.number()}",
                f"G10 L20 P{draw.randint(0, 6)} {draw.choice('XYZA')}{self.number()} Y{self.number()}",
                draw.choice(("G92.1", "G92.2", "G92.3")),
                f"G53 {draw.choice(('G0', 'G1'))} {draw.choice('XYZ')}{self.number()}",
                f"G91\nG0 {self.axes()}\nG1 {self.axes()}\nG90",
                f"G55 G0 {self.axes()}",
            )
        )

    def mode(self) -> str:
        return self.draw.choice(
            (
                "G20",
                "G21",
                "G17",
                "G18",
                "G19",
                "G40",
                "G49",
                "G80 G0",
                "G61",
                "G64",
                "G61.1",
                "G90.1\nG91.1",
                "G98",
                "G8",
            )
        ) + self.draw.choice(("", "\nG17"))

    def switch(self) -> str:
        draw = self.draw
        return draw.choice(
            (
                "M3",
                "M4 S800",
                "M5",
                "S1200",
                "M3 S[200+#1]",
                "M7",
                "M8",
                "M9",
                "M48",
                "M49",
                "M0",
                "M1",
                "M3 M8",
                "T1",
                "M5 M9",
                "M62 P1",
                "M63 P2",
                "M64 P0",
                "M65 P3",
                "M66 P1 L0",
                "M67 E1 Q2.5",
                "M68 E0 Q[#1+1]",
            )
        )

    def assign(self) -> str:
        draw = self.draw
        target = draw.choice(("#1", "#2", "#20", "#<here>", "#<_depth>", "#[10+#3]"))
        return f"{target}={self.value()}" + draw.choice(("", "", f" G0 X{self.number()}"))

    def dwell(self) -> str:
        return f"G4 P{self.draw.choice(('0', '.5', '2', '[ABS[#1]]'))}"

    def feed_mode(self) -> str:
        draw = self.draw
        return draw.choice(
            (
                f"G93 G1 {self.axes()} F{draw.randint(1, 20)}\nG94 F100",
                f"M3 S{draw.randint(100, 900)}\nG95 G1 {self.axes()} F0.{draw.randint(1, 9)}\nG94 F120",
                "G94 F80",
            )
        )

    def home(self) -> str:
        stored = self.draw.choice(("G28.1\n", "G30.1\n", "G28.1\n", ""))
        return stored + self.draw.choice((f"G28 {self.axes(2)}", "G28", "G30", f"G30 {self.axes(1)}"))

    def around(self) -> str:
        """A canned cycle, which the reader names and does not follow, now and then; else a comment."""
        if self.draw.random() < 0.15:
            return f"G81 X{self.number()} Z-1 R2\nG80\nG0 X{self.number()} Y{self.number()} Z{self.number()}"
        return self.draw.choice(("(JUST A REMARK)", "", "; another", "  ", "%"[:0]))

    # -- flow

    def structure(self) -> str:
        self.count += 1
        name, draw = self.count, self.draw
        body = "\n".join((self.move(), self.move()))
        match draw.randrange(4):
            case 0:
                condition = f"[{self.value()} GT {self.number(3).strip()}]"
                return f"o{name} if {condition}\n{body}\no{name} else\n{self.move()}\no{name} endif"
            case 1:
                count = f"#{40 + name}"
                rounds, inside = draw.randint(1, 4), f"G0 X[{count}*2] {self.axes(1).replace('X', 'Y')}"
                begin = f"{count}=0\no{name} while [{count} LT {rounds}]"
                return f"{begin}\n{inside}\n{count}=[{count}+1]\no{name} endwhile"
            case 2:
                return f"o{name} repeat [{draw.randint(0, 3)}]\nG91\nG0 {self.axes(1)}\nG90\no{name} endrepeat"
            case _:
                return f"o{name} if [#1 LT 0]\n{body}\no{name} elseif [#2 LT 0]\n{self.move()}\no{name} endif"

    def subprogram(self) -> None:
        inner = f"G1 X#1 Y[#2+{self.number().strip()}]"
        self.lines += ["o900 sub", inner, "#1=[#1+1]", f"G0 X#1 Z{self.number()}", "o900 endsub"]
        self.lines += [f"o900 call [{self.value()}] [{self.number().strip()}]" for _ in range(self.draw.randint(1, 2))]
