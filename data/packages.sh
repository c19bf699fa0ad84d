#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Installs the Debian 12 packages that are missing. Usage: sh data/packages.sh build|test
# Does nothing when all are there; uses sudo when it is not run as root.
set -eu
build='gcc meson ninja-build pkg-config python3 gettext libxml2-utils libglib2.0-dev-bin
  libsigrok-dev libgtk-4-dev libgtk-4-bin libadwaita-1-dev libsqlite3-dev libjansson-dev libgsl-dev libarchive-dev
  libgsound-dev libspeechd-dev libzbar-dev libqrencode-dev libgstreamer1.0-dev libgstreamer-plugins-base1.0-dev
  gstreamer1.0-plugins-base gstreamer1.0-plugins-good
  adwaita-icon-theme fonts-cantarell webp-pixbuf-loader'
test="$build git mold clang-format xvfb xauth dbus at-spi2-core python3-pyatspi xdotool imagemagick x11-utils
  desktop-file-utils appstream poppler-utils ngspice fonts-dejavu-core"
case ${1:-build} in
  build) wanted=$build ;;
  test) wanted=$test ;;
  *) echo "usage: sh data/packages.sh build|test" >&2; exit 2 ;;
esac

missing=
for package in $wanted; do
  [ "$(dpkg-query -W -f '${db:Status-Status}' "$package" 2>/dev/null)" = installed ] || missing="$missing $package"
done
[ -n "$missing" ] || exit 0
as_root=
if [ "$(id -u)" -ne 0 ]; then
  as_root=sudo
  command -v sudo >/dev/null || { echo "Missing packages, and no sudo to install them:$missing" >&2; exit 1; }
fi
echo "Installing:$missing"
$as_root apt-get update -q
# shellcheck disable=SC2086 # the list is meant to be split
$as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -q --no-install-recommends $missing
