"""Shell completion: the script of each shell, and what it is answered."""

import os
import shutil
import subprocess
import sys

import pytest

from ladderfe.cli.main import COMMANDS, run


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_scripts_name_the_program_and_its_variable(shell, capsys):
    assert run(["completion", shell]) == 0
    out = capsys.readouterr().out
    assert "_LADDERFE_COMPLETE" in out
    assert "ladderfe" in out


def asked(words, monkeypatch, capsys):
    monkeypatch.setenv("_LADDERFE_COMPLETE", "bash_complete")
    monkeypatch.setenv("COMP_WORDS", words)
    monkeypatch.setenv("COMP_CWORD", str(len(words.split(" ")) - 1))
    assert run([]) == 0
    return [line.partition(",")[2] for line in capsys.readouterr().out.splitlines()]


def test_commands_options_and_choices_are_completed(monkeypatch, capsys):
    assert asked("ladderfe ", monkeypatch, capsys) == list(COMMANDS)
    assert asked("ladderfe com", monkeypatch, capsys) == ["compare", "completion"]
    assert "--readings" in asked("ladderfe check --", monkeypatch, capsys)
    assert asked("ladderfe picture --colour v", monkeypatch, capsys) == ["von-mises"]


@pytest.mark.skipif(shutil.which("bash") is None, reason="NOT RUN: no bash here")
def test_bash_itself_reads_the_script(tmp_path):
    """Real bash sources the script, calls the function it registers, and gets the commands."""
    program = tmp_path / "ladderfe"
    program.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m ladderfe "$@"\n')
    program.chmod(0o755)
    script = (
        'source <(ladderfe completion bash); COMP_WORDS=(ladderfe che); COMP_CWORD=1; '
        '_ladderfe_completion ladderfe; echo "${COMPREPLY[@]}"'
    )
    env = os.environ | {"PATH": f"{tmp_path}:{os.environ['PATH']}", "PYTHONPATH": os.pathsep.join(sys.path)}
    done = subprocess.run(["bash", "-c", script], env=env, capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["check"]
