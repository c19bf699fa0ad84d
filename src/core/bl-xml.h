/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* An element of a small XML document held in memory. */
typedef struct BlXml
{
  char *name;
  GHashTable *attributes; /* name -> value */
  GPtrArray *children;    /* BlXml */
  guint line;             /* 1-based, where it begins */
  char *text;             /* all text directly in it, blanks at its ends left out; NULL: none */
} BlXml;
void bl_xml_free (BlXml *element);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlXml, bl_xml_free)

/* Reads a whole document (UTF-8). BL_CORE_ERROR_PARSE names the line; elements nested deeper than
 * 200 are refused, so that walking it may recurse. Returns the root: (transfer full). */
BlXml *bl_xml_parse (const char *text, gsize length, GError **error);

/* Value of an attribute; NULL: it has none of that name. (transfer none) */
const char *bl_xml_attribute (const BlXml *element, const char *name);

G_END_DECLS
