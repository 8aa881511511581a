#!/usr/bin/env bash
# The README's two commands, word for word, on a machine with Rust alone: a
# minimal Debian (debootstrap), which is lent this machine's toolchain and its store of downloaded
# crates. What is committed is cloned into it. Finds the program, header or library that a
# well-stocked machine has by chance. Needs root, and the better part of an hour.
#
#   tests/bare_machine.sh          both commands
#   tests/bare_machine.sh 1        the first (2: the second) alone
set -euo pipefail
cd "$(dirname "$0")/.."
# Mounts of its own, which nobody else sees, and which end with it: nothing is removed through them.
if [ -z "${BARE_MACHINE:-}" ]; then
    BARE_MACHINE=1 exec unshare --mount tests/bare_machine.sh "$@"
fi
checkout=$PWD
root=$checkout/target/bare-machine
toolchain=$(rustc --print sysroot)
store=${CARGO_HOME:-$HOME/.cargo}/registry

# The README's indented lines that install packages and then build.
mapfile -t commands < <(grep -E '^    .*apt-get install .*cargo' README.md | sed 's/^    //')
if [ "${#commands[@]}" -ne 2 ]; then
    echo "README.md must give exactly two commands, found ${#commands[@]}" >&2
    exit 1
fi
case ${1:-both} in
    1) commands=("${commands[0]}") ;;
    2) commands=("${commands[1]}") ;;
    both) ;;
    *) echo "usage: $0 [1|2]" >&2; exit 2 ;;
esac

# Before the packages of the README: a second run begins as bare as the first.
if [ ! -e "$root.tar" ]; then
    command -v debootstrap >/dev/null || { apt-get update && apt-get install -y debootstrap; }
    rm -rf "$root"
    # shellcheck disable=SC1091
    debootstrap --variant=minbase --include=ca-certificates \
        "$(. /etc/os-release && echo "$VERSION_CODENAME")" "$root"
    tar -C "$root" --exclude=./var/cache/apt/archives/'*.deb' -cf "$root.tar.part" .
    mv "$root.tar.part" "$root.tar"
fi
rm -rf "$root"
mkdir -p "$root"
tar -C "$root" -xf "$root.tar"
# The way to the mirrors, where it is not the usual one.
for way in /etc/resolv.conf /etc/apt/apt.conf.d /etc/ssl/certs/ca-certificates.crt; do
    [ ! -e "$way" ] || cp -rL "$way" "$root$(dirname "$way")/"
done
mkdir -p "$root/toolchain" "$root/cargo/registry" "$root/project"
mount -t proc proc "$root/proc"
mount --rbind /dev "$root/dev"
mount --bind -o ro "$toolchain" "$root/toolchain"
mount --bind "$store" "$root/cargo/registry"
git clone -q "$checkout" "$root/project"

# An environment as bare, but for the way to the network.
mapfile -t network < <(env | grep -iE '^(https?_proxy|no_proxy|ssl_cert_file|ssl_cert_dir|cargo_http_[a-z_]+)=' || true)
inside() {
    chroot "$root" /usr/bin/env -i HOME=/root CARGO_HOME=/cargo DEBIAN_FRONTEND=noninteractive \
        PATH=/toolchain/bin:/usr/sbin:/usr/bin:/sbin:/bin "${network[@]}" \
        bash -euo pipefail -c "cd /project && $1"
}
inside "apt-get update"
for command in "${commands[@]}"; do
    echo "+ $command"
    SECONDS=0
    inside "$command"
    printf 'took %d min %d s: %s\n' "$((SECONDS / 60))" "$((SECONDS % 60))" "$command"
done
