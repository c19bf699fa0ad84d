/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-document.h"
#include "bl-tree-chart.h"

/* A board of n stages in a chain of three sections, four components each with two modes, so that
 * n = 25 gives 100 components. */
static inline BlBoard *
board_of_stages (guint n)
{
  g_autoptr (GString) text = g_string_new ("{ \"format\": \"benchlore-board\", \"version\": 1, \"maker\": \"Hollin\", "
                                           "\"board_number\": \"RB-17\", \"edition\": \"C\", \"sections\": [");
  g_autoptr (GError) error = NULL;

  for (guint i = 0; i < 3; i++)
    g_string_append_printf (text, "%s{\"id\": \"c%u\", \"kind\": \"supply\", \"title\": \"Part %u\"}",
                            i > 0 ? ", " : "", i, i);
  g_string_append (text, "], \"stages\": [");
  for (guint i = 0; i < n; i++)
    {
      g_string_append_printf (text, "%s{\"id\": \"s%u\", \"section\": \"c%u\", \"title\": \"Stage %u\"",
                              i > 0 ? ", " : "", i, i * 3 / n, i);
      if (i > 0)
        g_string_append_printf (text, ", \"feeds\": {\"from\": [\"s%u\"%s]}", i - 1, i > 3 ? ", \"s0\"" : "");
      g_string_append (text, "}");
    }
  g_string_append (text, "], \"components\": [");
  for (guint i = 0; i < 4 * n; i++)
    g_string_append_printf (text,
                            "%s{\"id\": \"R%u\", \"kind\": \"resistor\", \"stage\": \"s%u\", \"modes\": ["
                            "{\"mode\": \"open\", \"weight\": 2, \"effects\": [{\"is\": \"absent\"}]},"
                            "{\"mode\": \"drifted\", \"weight\": 1, \"effects\": [{\"is\": \"low\"}]}]}",
                            i > 0 ? ", " : "", i, i / 4);
  g_string_append (text, "] }");
  BlBoard *board = bl_document_parse (text->str, -1, NULL, &error);
  g_assert_no_error (error);
  return board;
}
