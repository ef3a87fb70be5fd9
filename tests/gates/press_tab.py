"""Drives a real shell through a terminal: types each line, presses Tab, or has all that may stand there put in, and prints the line as it
then is.

    press_tab.py SHELL FOLDER SCRIPT BIN < QUESTIONS

SHELL is bash or zsh, started in FOLDER without anybody's own settings; it reads SCRIPT, and finds benchleaf in BIN. A question is a line:
`tab` or `all`, a tab character, and what is typed. The answer is the line that comes of it."""

import fcntl
import os
import pty
import re
import select
import struct
import sys
import termios
import time

shell, folder, script, programs = sys.argv[1:]
MOST_SECONDS = 20

# Control-G shows the line between marks, Control-T puts in all that may stand there.
BASH = f"""
bind 'set bell-style none'
bind 'set enable-bracketed-paste off'
bind '"\\C-t": insert-completions'
bind -x '"\\C-g": printf "<<<%s>>>\\n" "$READLINE_LINE"'
source '{script}'
"""
ZSH = f"""
unsetopt zle_bracketed_paste 2>/dev/null
unset zle_bracketed_paste
autoload -Uz compinit && compinit -D -u
bindkey -e
zstyle ':completion:*' list-prompt ''
zstyle ':completion:all:*' completer _all_matches _complete
zstyle ':completion:all:*' insert true
zle -C all complete-word _generic
bindkey '^T' all
show() {{ print -r -- "<<<$BUFFER>>>"; zle redisplay }}
zle -N show
bindkey '^G' show
setopt no_beep no_list_ambiguous no_prompt_cr
unsetopt prompt_sp
LISTMAX=1000
source '{script}'
"""

child, terminal = pty.fork()
if child == 0:
    os.chdir(folder)
    environment = {
        "PATH": f"{programs}:/usr/bin:/bin",
        "HOME": folder,
        "TERM": "dumb",
        "LC_ALL": "C.UTF-8",
        "PS1": "$ ",
    }
    arguments = ["bash", "--norc", "--noprofile", "-i"] if shell == "bash" else ["zsh", "-f", "-i"]
    os.execve(f"/usr/bin/{shell}", arguments, environment)

said = b""


def read_until(mark):
    """All that was said up to the mark."""
    global said
    end = time.monotonic() + MOST_SECONDS
    while not re.search(mark, said):
        if time.monotonic() > end or not select.select([terminal], [], [], end - time.monotonic())[0]:
            sys.exit(f"{shell} did not answer: {said!r}")
        said += os.read(terminal, 65536)
    found = re.search(mark, said)
    before, said = said[: found.start()], said[found.end() :]
    return before, found


fcntl.ioctl(terminal, termios.TIOCSWINSZ, struct.pack("HHHH", 50, 1000, 0, 0))
setup = os.path.join(folder, ".settings")
with open(setup, "w", encoding="utf-8") as file:
    file.write(BASH if shell == "bash" else ZSH)
os.write(terminal, b"source ./.settings; echo re''ady\n")
read_until(rb"ready\r?\n")

for question in sys.stdin.read().splitlines():
    key, _, line = question.partition("\t")
    os.write(terminal, line.encode() + (b"\t" if key == "tab" else b"\x14") + b"\x07")
    before, found = read_until(rb"<<<([^\n]*?)>>>")
    if re.search(rb"benchleaf: |rror|not found|line \d", before):
        sys.exit(f"{shell} says besides: {before!r}")
    os.write(terminal, b"\x05\x15")  # to its end, and away with it
    print(found[1].decode())
os.close(terminal)
