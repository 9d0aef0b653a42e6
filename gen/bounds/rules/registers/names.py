"""The registers that a dress lives by, by name."""

from gen.bounds.kit import Dress, DressBlock
from gen.plan.step import RegisterRead, Write


def writes_of(block: DressBlock, dress: Dress) -> list[tuple[int, Write, str]]:
    """Every write of such a register, with its step number and name."""
    names = dress.lasting_registers
    return [(index, step, names[step.register]) for index, step in block.steps(Write) if step.register in names]


def in_use(block: DressBlock, dress: Dress) -> bool:
    """Whether the block reads or writes any of them."""
    names = dress.lasting_registers
    return any(read.register in names for read in block.reads) or bool(writes_of(block, dress))


def named(event: RegisterRead | Write, name: str) -> str:
    """A register as findings name it."""
    return f"register {event.register} ({name.replace('_', ' ')})"
