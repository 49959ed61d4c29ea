"""How a command ends: the only place that turns errors into one line on standard error and an exit code."""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Sequence
from typing import Any

import typer

from soundmetal.errors import Exit, SoundmetalError, one_line
from soundmetal.terminal import warn

#: What typer raises for a wrong command line; it gives no name to it, but to its child.
_CommandLineFault: type[Exception] = typer.BadParameter.__bases__[0]
#: What the system says when it will not let us write.
_NO_WRITING = frozenset((errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EROFS, errno.EACCES, errno.EPERM, errno.EIO))


def run(app: typer.Typer, arguments: Sequence[str] | None) -> int:
    """Run the commands and give the exit code; every error has become a line on standard error."""
    try:
        code = app(arguments, prog_name="soundmetal", standalone_mode=False)
        sys.stdout.flush()
    except KeyboardInterrupt:  # pressed outside the command itself: while it was being found, or cleaned up after
        code = Exit.STOPPED
    except SoundmetalError as error:
        for line in str(error).splitlines():
            warn(f"soundmetal: {line}")
        return error.exit_code
    except _CommandLineFault as error:
        return _misused(error)
    except BrokenPipeError:
        return _nobody_listens()
    except OSError as error:
        return _refused_by_system(error)
    except Exception as error:  # the last net: a fault of ours must not become a traceback on a shop's screen
        return _own_fault(error)
    if code == Exit.STOPPED:
        warn("soundmetal: stopped. What was written until then is whole; run it again to do the rest.")
    return code or Exit.OK


def _misused(error: Any) -> int:
    """Tell in one line what the command line lacks; asked nothing at all, the help has been shown already."""
    if told := one_line(error.format_message()):
        of = error.ctx.command_path if error.ctx else "soundmetal"
        told = told.replace("Value error, ", "").rstrip(".")
        warn(f"soundmetal: {told}{'' if told.endswith('?') else '.'} See: {of} --help")
    return Exit.USAGE


def _nobody_listens() -> int:
    """The reader of our output has gone, as with `| head`; nothing is left to tell anybody."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return Exit.OTHER


def _refused_by_system(error: OSError) -> int:
    """What the system refused and nothing below has put into words: a name too long, an output that takes no more."""
    where = f'"{error.filename}": ' if error.filename else ""
    warn(f"soundmetal: {where}{one_line(error.strerror or error)}. Check the name, the permissions and the space.")
    return Exit.WRITE if error.errno in _NO_WRITING else Exit.FOLDER


def _own_fault(error: Exception) -> int:
    if os.environ.get("SOUNDMETAL_TRACE"):
        raise error
    warn(
        f"soundmetal: a fault of this program: {type(error).__name__}: {one_line(error).rstrip('.')}. "
        "Your files are whole. Set SOUNDMETAL_TRACE=1 and run it again to see where, and tell us."
    )
    return Exit.OTHER
