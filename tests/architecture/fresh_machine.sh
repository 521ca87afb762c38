#!/usr/bin/env bash
# Shows that the last commit works on a bare Debian 12: makes one in a temporary folder with nothing but git added, clones
# the project into it, and runs ./dev demo and ./dev test (or the verbs given). Removes it afterwards.
# Needs root and debootstrap; packages come from where this machine's apt gets them.
set -euo pipefail
[[ $EUID == 0 ]] || { echo "fresh: only root can make a machine in a folder" >&2; exit 1; }

# Mounts go into a namespace of their own: they vanish with this process, whatever ends it.
if [[ ${1:-} != --inside ]]; then exec unshare --mount --propagation private "$0" --inside "$@"; fi
shift
if (( $# == 0 )); then set -- demo test; fi

source_folder=$(cd "$(dirname "$0")/../.." && pwd)
release=bookworm
machine=$(mktemp -d "${TMPDIR:-/tmp}/fresh-machine.XXXXXX")

clean_up() {
  umount "$machine/dev/pts" "$machine/dev/shm" "$machine/proc" 2> /dev/null || true
  rm -rf --one-file-system "$machine"
}
trap clean_up EXIT
trap 'exit 130' INT TERM

timed() {
  local text=$1 began=$SECONDS
  shift
  echo "== fresh: $text ..."
  "$@" || { echo "== fresh: $text: FAILED after $((SECONDS - began)) s"; exit 1; }
  echo "== fresh: $text: $((SECONDS - began)) s"
}

# The lines this machine's apt uses for Debian itself, and none of its other sources.
debian_sources() {
  # shellcheck disable=SC2016  # apt fills these in
  apt-get indextargets --format '$(ORIGIN)|$(CODENAME)|deb $(REPO_URI) $(RELEASE) $(COMPONENT)' 'Created-By: Packages' |
    sed -n "s/^Debian|${release}[^|]*|//p" | sort -u
}

make_machine() {
  local archive
  archive=$(debian_sources | awk -v release="$release" '$3 == release { print $2; exit }')
  [[ -n $archive ]] || { echo "fresh: apt knows no source for $release here; run apt-get update" >&2; return 1; }
  debootstrap --variant=minbase --include=git,ca-certificates "$release" "$machine" "$archive" > "$machine.log" 2>&1 ||
    { tail -n 20 "$machine.log"; return 1; }
  rm -f "$machine.log"
  echo force-unsafe-io > "$machine/etc/dpkg/dpkg.cfg.d/throwaway"  # nobody minds if a power cut spoils it
  debian_sources > "$machine/etc/apt/sources.list"
  cp -L /etc/resolv.conf "$machine/etc/resolv.conf"
  mount -t proc proc "$machine/proc"
  mount -t tmpfs tmpfs "$machine/dev/shm"
  # As on any machine: others than root may enter it, and there are terminals.
  chmod 755 "$machine"
  mkdir -p "$machine/dev/pts"
  mount -t devpts -o newinstance,ptmxmode=0666 devpts "$machine/dev/pts"
  ln -sf pts/ptmx "$machine/dev/ptmx"
  # A network that signs with certificates of its own is known to this machine; the new one must be told.
  if compgen -G '/usr/local/share/ca-certificates/*.crt' > /dev/null; then
    cp /usr/local/share/ca-certificates/*.crt "$machine/usr/local/share/ca-certificates/"
    inside update-ca-certificates > /dev/null 2>&1
  fi
}

inside() {
  env -i PATH=/usr/local/sbin:/usr/local/bin:/usr/sbin:/usr/bin:/sbin:/bin HOME=/root LANG=C.UTF-8 \
    NODE_EXTRA_CA_CERTS=/etc/ssl/certs/ca-certificates.crt \
    ${http_proxy:+http_proxy="$http_proxy"} ${https_proxy:+https_proxy="$https_proxy"} ${no_proxy:+no_proxy="$no_proxy"} \
    chroot "$machine" "$@" < /dev/null
}

clone() {
  git -c safe.directory='*' clone --quiet --no-local "$source_folder" "$machine/opt/oddgrist"
  git -C "$machine/opt/oddgrist" log -1 --format='   %h %s'
}

timed "make a bare Debian 12" make_machine
timed "clone the last commit" clone
for tool in g++ cmake ninja python3 node; do
  if inside which "$tool" > /dev/null; then echo "fresh: $tool is there already: this machine is not bare" >&2; exit 1; fi
done
for verb in "$@"; do timed "./dev $verb" inside /opt/oddgrist/dev "$verb"; done
