/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-library.h"

#include <jansson.h>

G_BEGIN_DECLS

/* What the files of make-demo share. */

typedef struct
{
  const char *folder, *photos;
  BlLibrary *library;
  GHashTable *boards; /* file -> gint64 *, id in the library */
} Demo;

/* The board of this file, added when it is not yet there. 0 with error. */
gint64 demo_need_board (Demo *demo, const char *file, GError **error);
/* The line of the log for an entry; judged: GPtrArray of BlJudged, its verdict among them. (transfer full) */
BlRecord *demo_record (const BlEntry *entry, GPtrArray *judged);

/* The known-good boards that known-good.json describes, if there is one. */
gboolean demo_add_known_good (Demo *demo, GError **error);

/* The equipment of this file, which was added before. 0 with error. */
gint64 demo_need_equipment (Demo *demo, const char *file, GError **error);
/* Each pair*.json of the folder. */
gboolean demo_add_equipments (Demo *demo, GError **error);

G_END_DECLS
