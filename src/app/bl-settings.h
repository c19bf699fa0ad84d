/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gio/gio.h>

G_BEGIN_DECLS

/* The program's settings, or NULL where they are not installed: then nothing is kept. (transfer none) */
GSettings *bl_settings (void);

G_END_DECLS
