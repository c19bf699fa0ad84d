/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-database.h"

G_BEGIN_DECLS

/* One step of the schema's history: what brings a file of the version before to this version. */
typedef struct
{
  int version;                                            /* 1, 2, 3 ... without a gap */
  const char *sql;                                        /* run first; NULL: nothing */
  gboolean (*run) (BlDatabase *database, GError **error); /* then this; NULL: nothing */
} BlMigration;

/* The steps of this program's libraries, oldest first. */
const BlMigration *bl_tables_steps (guint *n_steps);

/* Brings database to the version of the last step. An existing library is copied beside itself
 * first. Each step is one transaction together with its version number: it happens wholly or not at
 * all. BL_STORE_ERROR_NEWER when the file is of a later version, BL_STORE_ERROR_OPEN when it is no
 * library, BL_STORE_ERROR_READ_ONLY when it would have to be migrated but may not be written. */
gboolean
bl_tables_prepare (BlDatabase *database, const BlMigration *steps, guint n_steps, GError **error);

G_END_DECLS
