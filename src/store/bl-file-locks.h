/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* From here on SQLite's locks hold for an open file, and no longer for the process: closing the same file anywhere
 * else in the program, as a file dialog does that looks into the files of a folder, lets none of them go. Once for
 * the process, before a database is opened; later calls do nothing. Does nothing where the system has no such
 * locks: then they are what they always were. */
void bl_file_locks_install (void);

G_END_DECLS
