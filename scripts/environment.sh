# shellcheck shell=bash disable=SC2154
# Read by scripts/demo and scripts/test: finds Python and makes this clone's own environment in .environment.
#
#   clone=...                the folder of the clone, set before this file is read
#   use_environment LEVEL    LEVEL is "demo" (what the checker needs) or "test" (the test tools as well)
#   afterwards "$python" is the interpreter of the environment.
#
# Ends with status 69 where the machine lacks something, and says in one line what brings it.
# Nothing outside the clone is changed, apart from pip's own cache.

lacking=69
environment="$clone/.environment"
python="$environment/python/bin/python"
unset PYTHONPATH PYTHONHOME
export PYTHONNOUSERSITE=1 PIP_USER=0 PIP_DISABLE_PIP_VERSION_CHECK=1 PIP_NO_INPUT=1

say() { printf '%s\n' "$*"; }

stop() {
    printf '%s\n' "$*" >&2
    exit "$lacking"
}

# Prints major.minor of an interpreter, or nothing where it does not run.
version_of() { "$1" -c 'import sys; print("%d.%d" % sys.version_info[:2])' 2>/dev/null || true; }

# Sets $base to the first interpreter that is not too old and not too new.
find_python() {
    local name version seen=""
    for name in python3 python3.13 python3.12 python3.11; do
        command -v "$name" >/dev/null 2>&1 || continue
        version=$(version_of "$name")
        case "$version" in
            3.11 | 3.12 | 3.13)
                base=$name
                return
                ;;
            "") ;;
            *) seen="$seen, $name is $version" ;;
        esac
    done
    case "$seen" in
        "") stop "Python is missing. As root: apt-get install python3 python3-venv" ;;
        *" is 3.1"[4-9]*) stop "Python 3.11 to 3.13 is needed${seen}. As root: apt-get install python3.13 python3.13-venv" ;;
        *) stop "Python 3.11 to 3.13 is needed${seen}. As root, on Debian 12 or newer: apt-get install python3 python3-venv" ;;
    esac
}

# Stops where the interpreter cannot make environments (Debian keeps that in a package of its own).
need_venv() {
    "$base" -c 'import venv, ensurepip' 2>/dev/null || stop "Python's venv is missing. As root: apt-get install ${base}-venv"
}

# What the installation depends on; a change of any of it installs anew.
fingerprint() {
    { cat -- "$clone/pyproject.toml" "$clone/scripts/pins.txt"; "$base" --version; printf '%s\n' "$clone"; } | sha256sum | cut -c 1-64
}

# Whether the environment has what $level needs, as pyproject.toml and the pins stand $now.
is_ready() {
    [ -x "$python" ] && [ ! -e "$environment/unfinished" ] && [ "$(cat -- "$environment/ready-$level" 2>/dev/null)" = "$now" ]
}

need_room() {
    local free
    free=$(df -Pk -- "$clone" | awk 'NR == 2 { print $4 }')
    [ "${free:-9999999}" -ge 1600000 ] || stop "Too little room: about 1.6 GB must be free where this clone lies ($((free / 1024)) MB are). Make room or clone elsewhere."
}

make_venv() {
    local log="$environment/venv.log"
    rm -rf -- "$environment/python"
    if ! "$base" -m venv "$environment/python" >"$log" 2>&1 || ! "$python" -m pip --version >>"$log" 2>&1; then
        grep -qi ensurepip "$log" && stop "Python's venv is missing. As root: apt-get install ${base}-venv"
        tail -n 5 -- "$log" >&2
        stop "The environment could not be made (above: what Python said). Where pip is missing, as root: apt-get install ${base}-venv python3-pip"
    fi
}

# Installs this clone, editable, with the extras given; shows what is downloaded, keeps the rest in a log.
install_clone() {
    local extras=$1 log="$environment/install.log"
    if ! (cd -- "$clone" && "$python" -m pip install --progress-bar off -c scripts/pins.txt -e ".$extras") 2>&1 |
        tee -- "$log" | { grep --line-buffered -E '^ +(Downloading|Using cached) |^Installing collected' || true; } |
        sed -u -E 's/^ +(Downloading|Using cached) +([^ ]*\/)?([^ -]+-[^ -]+)[^ ]*/  \1 \3/; s/^Installing collected.*/  Unpacking and installing (a minute or two) .../'; then
        tail -n 8 -- "$log" >&2
        stop "The installation did not finish (above: the end of $log). Check the network connection, then start again: nothing is lost."
    fi
}

install() {
    local level=$1 extras=$2
    if [ -e "$environment/unfinished" ]; then
        say "An earlier installation was interrupted: starting it afresh."
        rm -rf -- "$environment/python"
    fi
    : >"$environment/unfinished"
    rm -f -- "$environment"/ready-*
    if [ "$(version_of "$python")" != "$(version_of "$base")" ] || ! "$python" -m pip --version >/dev/null 2>&1; then
        say "Step 1 of 2: making the environment with $("$base" --version) ..."
        make_venv
    else
        say "Step 1 of 2: the environment is there; bringing it up to date ..."
    fi
    say "Step 2 of 2: downloading and installing ..."
    install_clone "$extras"
    printf '%s\n' "$now" >"$environment/ready-demo"
    [ "$level" = demo ] || printf '%s\n' "$now" >"$environment/ready-$level"
    rm -f -- "$environment/unfinished"
}

use_environment() {
    local level=$1 extras="" extra_words="" now
    [ "$level" = test ] && extras="[test]" && extra_words=" and the test tools (pytest, hypothesis, ruff, mypy, two libraries to compare with)"
    find_python
    now=$(fingerprint)
    ! is_ready || return 0
    need_venv
    say "This makes an environment of its own in the hidden folder .environment of this clone (delete it to undo)."
    say "It downloads numpy, scipy, matplotlib, pyvista with vtk${extra_words}"
    say "from the Python package index: about 250 MB to fetch unless pip has them already, 1 GB on disk. Later runs use it again."
    need_room
    { mkdir -p -- "$environment" && exec 9>"$environment/lock"; } 2>/dev/null ||
        stop "Cannot write in $clone. Clone it into a folder of your own."
    ! command -v flock >/dev/null 2>&1 || flock -n 9 || { say "Another run is installing here: waiting for it ..."; flock 9; }
    is_ready || install "$level" "$extras"
    exec 9>&-
    say "The environment is ready."
}
