/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* A record of a CSV text: its fields, blanks at their ends dropped, and the line it began on. */
typedef struct
{
  guint line;    /* 1-based */
  char **fields; /* NULL-terminated */
} BlCsvRecord;
void bl_csv_record_free (BlCsvRecord *record);

/* Splits CSV text (RFC 4180; LF, CRLF or CR; a byte order mark is skipped, so are records without
 * any content). The separator is the first ',' or ';' of the first record. length -1:
 * NUL-terminated. BL_CORE_ERROR_PARSE names the line. Returns: (transfer full) of BlCsvRecord. */
GPtrArray *bl_csv_parse (const char *text, gssize length, GError **error);

/* Appends field to out, quoted where it must be. */
void bl_csv_append (GString *out, const char *field);
/* The same for a text that somebody chose and that a spreadsheet is to show: one that it would compute (=, +, -, @, tab and
 * line ends at the front; OWASP, "CSV Injection", from memory) gets an apostrophe in front. Not for what is read back. */
void bl_csv_append_text (GString *out, const char *text);

G_END_DECLS
