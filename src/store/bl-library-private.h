/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-database.h"
#include "bl-library.h"

G_BEGIN_DECLS

struct BlLibrary
{
  BlDatabase *database;
};

/* Sets BL_STORE_ERROR_NOT_FOUND: "FILE: there is no WHAT 12". Returns FALSE. */
gboolean bl_library_not_found (BlLibrary *library, const char *what, gint64 id, GError **error);

/* TRUE when table has a row of this id; FALSE with an error, not found included. */
gboolean bl_library_require (BlLibrary *library,
                             const char *table,
                             const char *what,
                             gint64 id,
                             GError **error);

/* Before a board is deleted: FALSE with the reason while an equipment needs it. One that was removed is
 * forgotten. */
gboolean bl_library_leave_equipments (BlLibrary *library, gint64 board, GError **error);

/* UTC, microseconds since 1970. */
gint64 bl_library_now (void);

G_END_DECLS
