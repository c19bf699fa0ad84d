/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The toolkit's headers, read once instead of by every file of the folder; only where b_pch is on, for it needs more
 * disk and defeats compiler caches. No file may rely on it: each includes what it uses. */
#include <adwaita.h>
#include <gtk/gtk.h>
