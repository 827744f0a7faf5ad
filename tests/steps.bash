# What tests/all and tests/judge-days share: steps that are counted and timed, and the judges of a site.
# To be sourced from the top of the repository, with `set -euo pipefail`.

JUDGES=tests/judges
PYTHON=$JUDGES/venv/judges/bin/python
export TRUG=${CARGO_TARGET_DIR:-target}/debug/trug
# The day of the committed site, and of the awkward garden that only the judges publish.
DEMO_DAY=2026-06-20
GULL_DAY=2026-01-15
ROOM=$(mktemp -d)
trap 'rm -rf "$ROOM"' EXIT
passed=0
failed=0

# step NAME COMMAND…: runs it to the end whatever happened before; says what failed in full.
step() {
  local name=$1 start=$SECONDS log
  log=$(mktemp -p "$ROOM")
  shift
  # In the background, since bash forgets `set -e` inside whatever an `if` asks.
  (set -e; "$@") >"$log" 2>&1 </dev/null &
  if wait $!; then
    passed=$((passed + 1))
    printf 'ok    %4d s  %s\n' $((SECONDS - start)) "$name"
    # A judge says in a line or two what it looked at.
    if [ "$(wc -l <"$log")" -le 4 ]; then sed 's/^/               /' "$log"; fi
  else
    failed=$((failed + 1))
    printf 'FAIL  %4d s  %s\n' $((SECONDS - start)) "$name"
    tail -n 300 "$log" | sed 's/^/    | /'
  fi
}

# together LANE…: functions that are lists of steps, side by side; what each has to say is said when all are through.
together() {
  local lane lane_passed lane_failed
  for lane in "$@"; do
    (
      passed=0 failed=0
      "$lane"
      echo "$passed $failed" >"$ROOM/$lane.count"
    ) >"$ROOM/$lane.said" 2>&1 &
  done
  wait
  for lane in "$@"; do
    cat "$ROOM/$lane.said"
    read -r lane_passed lane_failed <"$ROOM/$lane.count"
    passed=$((passed + lane_passed)) failed=$((failed + lane_failed))
  done
}

# The plain line at the end, and the exit code.
close() {
  echo "$passed passed, $failed failed"
  [ "$failed" -eq 0 ]
}

# fresh STAMP FILE…: whether what the files name is installed already.
fresh() {
  local stamp=$1
  shift
  [ -f "$stamp" ] && [ "$(cat "$stamp")" = "$(cat "$@" | sha256sum)" ]
}

# python_packages FOLDER REQUIREMENTS: a venv with exactly these packages.
python_packages() {
  fresh "$1/installed" "$2" && return
  rm -rf "$1"
  python3 -m venv "$1"
  "$1/bin/pip" install --quiet --disable-pip-version-check --requirement "$2"
  "$1/bin/pip" check
  sha256sum <"$2" >"$1/installed"
}

node_packages() {
  if grep -q '"resolved"' $JUDGES/package-lock.json; then
    echo "$JUDGES/package-lock.json says where packages come from: strip \`resolved\` (the .npmrc beside it does)"
    return 1
  fi
  fresh $JUDGES/node_modules/installed $JUDGES/package.json $JUDGES/package-lock.json && return
  (cd $JUDGES && npm ci --no-progress)
  cat $JUDGES/package.json $JUDGES/package-lock.json | sha256sum >$JUDGES/node_modules/installed
}

# Debian's Chromium: playwright's own build is not wanted, and needs another host.
a_browser() {
  [ -x "${CHROMIUM:-/usr/bin/chromium}" ] && return
  if [ "$(id -u)" -eq 0 ] && command -v apt-get >/dev/null; then
    apt-get update -qq
    DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends chromium fonts-dejavu-core
    return
  fi
  echo "Chromium is missing. Install Debian's package (sudo apt-get install chromium fonts-dejavu-core),"
  echo "or set CHROMIUM to the path of a Chromium that is there, and run this again."
  return 1
}

# Debian's nginx, without a service: the judge starts one of its own on the loopback address.
a_web_server() {
  command -v nginx >/dev/null && return
  if [ "$(id -u)" -eq 0 ] && command -v apt-get >/dev/null; then
    apt-get update -qq
    DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends nginx-light
    return
  fi
  echo "nginx is missing. Install Debian's package (sudo apt-get install nginx-light), and run this again."
  return 1
}

the_tools() {
  step "Python packages of the judges" python_packages $JUDGES/venv/judges $JUDGES/requirements.txt
  step "Node packages of the judges" node_packages
  step "a browser" a_browser
  step "a web server" a_web_server
}

# judge NAME SITE CONTENT JUDGE…: each judge of a site is a step.
judge() {
  local name=$1 site=$2 content=$3 one
  shift 3
  for one in "$@"; do
    case $one in
    *.py) step "$one of $name" "$PYTHON" "$JUDGES/$one" "$site" "$content" ;;
    *.mjs) step "$one of $name" node "$JUDGES/$one" "$site" "$content" ;;
    esac
  done
}
