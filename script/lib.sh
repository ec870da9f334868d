# The set-up that every script shares. Read by the others with `. script/lib.sh`; does nothing by itself.
#
# uv comes from PyPI at one version into an environment of its own (.tools), because it lays .venv by uv.lock and
# would take itself out of there. Nothing is installed outside this folder, save Chromium by apt when root runs the
# browser tests on a machine without one.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."

UV_VERSION=0.13.9
export npm_config_update_notifier=false npm_config_audit=false npm_config_fund=false
export UV_PYTHON_DOWNLOADS=never UV_PROJECT_ENVIRONMENT="$PWD/.venv" UV_LINK_MODE=copy PYTHONUNBUFFERED=1

# Trust what the machine trusts (a firm's own authority, say) where it keeps such a list.
if [[ -e /etc/ssl/certs/ca-certificates.crt ]]; then
  export UV_SYSTEM_CERTS=1
fi

say() { printf '%s\n' "$*" >&2; }

# Anything missing is named once, with the one line that brings it.
need_system() {
  local missing=()
  command -v git >/dev/null || missing+=(git)
  if ! command -v python3 >/dev/null; then
    missing+=(python3 python3-venv)
  elif ! python3 -c 'import sys; sys.exit(sys.version_info < (3, 11))'; then
    say "Coldmark needs Python 3.11 or newer; python3 here is $(python3 --version 2>&1)."
    exit 1
  elif ! python3 -c 'import venv, ensurepip' 2>/dev/null; then
    missing+=(python3-venv)
  fi
  if ((${#missing[@]})); then
    say "apt-get install -y ${missing[*]}"
    exit 1
  fi
}

# A venv holds full paths, so one that was made elsewhere (a moved or copied folder) is made anew.
need_uv() {
  if ! .tools/uv/bin/uv --version 2>/dev/null | grep -qF "uv $UV_VERSION"; then
    python3 -m venv --clear .tools/uv
    .tools/uv/bin/python -m pip install --quiet --disable-pip-version-check "uv==$UV_VERSION"
  fi
}

# need_python [uv sync options]: .venv by the lock. Inexact, so that the server's set-up leaves the tests' in place.
need_python() {
  need_system
  need_uv
  .tools/uv/bin/uv sync --quiet --frozen --inexact --python "$(command -v python3)" "$@"
  PATH="$PWD/.venv/bin:$PATH"
}

node_will_do() {
  command -v node >/dev/null && command -v npm >/dev/null && node -e '
    const [major, minor] = process.versions.node.split(".").map(Number);
    process.exit((major === 20 && minor >= 19) || (major === 22 && minor >= 12) || major > 22 ? 0 : 1);' 2>/dev/null
}

# Node by the machine if new enough for the app's build, else from PyPI, by the same lock.
need_node() {
  if ! node_will_do; then
    say "No Node that will do on this machine: taking one from PyPI."
    .tools/uv/bin/uv sync --quiet --frozen --inexact --python "$(command -v python3)" --no-default-groups --group node
  fi
  local lock=phone/node_modules/.coldmark-lock
  if ! cmp -s phone/package-lock.json "$lock"; then
    (cd phone && npm ci --loglevel=error >&2)
    cp phone/package-lock.json "$lock"
  fi
}

app_inputs() {
  git ls-files -z --cached --others --exclude-standard -- phone contract src/coldmark/__init__.py src/coldmark/bench \
    src/coldmark/web/static |
    sort -z | xargs -0 sha256sum 2>/dev/null | sha256sum | cut -d' ' -f1
}

# The app at the machine, built only when what it is made from has changed: its own sources and the bench, which goes
# with it.
need_app() {
  local inputs built=build/app.inputs
  inputs="$(app_inputs)"
  if [[ -f src/coldmark/web/static/phone/sw.js && "$(cat "$built" 2>/dev/null)" == "$inputs" ]]; then
    return
  fi
  need_node
  say "Building the app at the machine."
  (cd phone && npm run --silent build >&2)
  python -m whitenoise.compress --quiet src/coldmark/web/static/phone/app
  mkdir -p build
  printf '%s\n' "$inputs" >"$built"
}

# Sets COLDMARK_CHROMIUM where a Chromium is to be had; the browser tests say what to do where none is.
find_chromium() {
  local name
  [[ -n "${COLDMARK_CHROMIUM:-}" ]] && return
  for name in chromium chromium-browser google-chrome; do
    if COLDMARK_CHROMIUM="$(command -v "$name")"; then
      export COLDMARK_CHROMIUM
      return
    fi
  done
  unset COLDMARK_CHROMIUM
  if [[ "$(id -u)" == 0 ]] && command -v apt-get >/dev/null; then
    say "Installing Chromium for the browser tests."
    if apt-get update -qq >&2 && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends chromium >&2; then
      COLDMARK_CHROMIUM="$(command -v chromium)"
      export COLDMARK_CHROMIUM
    fi
  fi
}

# Playwright drives the browser by a Node of its own, which wants a library that a bare Debian lacks; there it is handed
# the one that builds the app.
need_driver() {
  local own
  own="$(python -c 'import pathlib, playwright; print(pathlib.Path(playwright.__file__).parent / "driver" / "node")')"
  if ! "$own" --version >/dev/null 2>&1; then
    need_node
    PLAYWRIGHT_NODEJS_PATH="$(command -v node)"
    export PLAYWRIGHT_NODEJS_PATH
  fi
}

# within SECONDS WHAT COMMAND...: how long it took, and in CI a failure when that was too long. The seconds are those of
# a machine that does nothing else: where more is asked of its processors than they can do, they are as many times more.
within() {
  local most="$1" what="$2" start=$SECONDS took status=0 load
  shift 2
  "$@" || status=$?
  took=$((SECONDS - start))
  read -r _ load _ </proc/loadavg
  most=$(awk -v most="$most" -v load="$load" -v cores="$(nproc)" \
    'BEGIN { busy = load / cores; print int(most * (busy > 1 && most > 0 ? busy : 1)) }')
  if ((took <= most)); then
    say "$what took $took s of at most $most s"
  else
    say "$what took $took s, longer than the $most s it may take"
    [[ "${CI:-}" != true ]] || status=1
  fi
  return "$status"
}

need_browser() {
  find_chromium
  need_driver
}
