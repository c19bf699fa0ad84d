/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-document.h"
#include "bl-schema.h"

G_BEGIN_DECLS

/* Private to core: where in a document one is, and what was found wrong there. */

/* A place, linked towards the root, on the stack of whoever walks the document. */
typedef struct BlPath
{
  const struct BlPath *up; /* NULL: the root, whose key is "$" with whatever should precede it */
  const char *key;         /* NULL: an index */
  guint index;
} BlPath;

#define BL_PATH_ROOT ((BlPath){ NULL, "$", 0 })
#define BL_PATH_KEY(up, key) ((BlPath){ (up), (key), 0 })
#define BL_PATH_INDEX(up, index) ((BlPath){ (up), NULL, (index) })

/* "$.stages[2].section"; a key that is no plain word stands in brackets and quotation marks.
 * Returns: (transfer full). */
char *bl_path_to_text (const BlPath *path);

typedef struct
{
  GPtrArray *problems; /* BlProblem, (transfer none) */
  GHashTable *unread; /* paths that could not be read: nothing more is said about what is in them */
  guint errors;
} BlReport;

void bl_report_init (BlReport *report, GPtrArray *problems);
void bl_report_clear (BlReport *report);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (BlReport, bl_report_clear)

void bl_report_error (BlReport *report, const BlPath *path, const char *format, ...)
    G_GNUC_PRINTF (3, 4);
void bl_report_warning (BlReport *report, const BlPath *path, const char *format, ...)
    G_GNUC_PRINTF (3, 4);
/* An error after which the validation keeps silent about path. */
void bl_report_unread (BlReport *report, const BlPath *path, const char *format, ...)
    G_GNUC_PRINTF (3, 4);

/* Sets error from the first error among the problems and how many more there are. FALSE when there
 * is an error. */
gboolean bl_report_finish (const BlReport *report, GError **error);

/* Reads the JSON object in text into self by schema; its "format" must be format and its "version"
 * 1. FALSE when it is no JSON object at all; every other problem goes to the report. */
gboolean bl_document_read (const char *text,
                           gssize length,
                           const char *format,
                           const BlSchema *schema,
                           gpointer self,
                           BlReport *report,
                           const BlPath *root);

/* Writes self as a document of this format, version 1, as bl_document_write () does with a board.
 * Returns: (transfer full). */
char *bl_document_write_as (const char *format, const BlSchema *schema, gconstpointer self);

G_END_DECLS
