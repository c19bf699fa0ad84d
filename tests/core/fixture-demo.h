/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-csv.h"
#include "bl-diagnosis.h"
#include "bl-document.h"
#include "bl-places.h"

/* The demo documents, and where the odds put a stage or a part. */

static inline char *
demo_file (const char *name)
{
  return g_test_build_filename (G_TEST_DIST, "..", "data", "demo", name, NULL);
}

static inline char *
demo_load (const char *path, gsize *length, gpointer data, GError **error)
{
  g_autofree char *file = demo_file (path);
  char *text = NULL;

  return g_file_get_contents (file, &text, length, error) ? text : NULL;
}

static inline BlBoard *
demo_board (const char *name)
{
  g_autoptr (GError) error = NULL;
  gsize length = 0;
  g_autofree char *text = demo_load (name, &length, NULL, &error);
  BlBoard *board;

  g_assert_no_error (error);
  if (bl_document_is_equipment (text, length))
    board = bl_equipment_parse (text, length, demo_load, NULL, NULL, &error);
  else
    board = bl_document_parse (text, length, NULL, &error);
  g_assert_no_error (error);
  return board;
}

/* The place whose events a component has: a part, else a board. (transfer none) */
static inline const char *
demo_place_of (const BlPlaces *places, const char *component)
{
  g_autofree char *head = g_strconcat (component, ":", NULL);
  const GPtrArray *lists[] = { places->parts, places->places };

  for (guint l = 0; l < G_N_ELEMENTS (lists); l++)
    for (guint i = 0; i < lists[l]->len; i++)
      {
        const BlFaultPlace *place = bl_at (lists[l], i);
        for (guint j = 0; place->events != NULL && place->events[j] != NULL; j++)
          if (g_str_has_prefix (place->events[j], head))
            return place->id;
      }
  g_assert_not_reached ();
}

/* How many of list are more probable than id; G_MAXUINT when it is not there. What ties with it
 * counts as before it when it stands earlier. */
static inline guint
demo_rank (GPtrArray *list, const char *id)
{
  for (guint i = 0; i < list->len; i++)
    if (g_str_equal (((const BlOdd *) list->pdata[i])->id, id))
      return i;
  return G_MAXUINT;
}

/* TRUE when some reading that counts is likeliest to be of another class than the good one. */
static inline gboolean
demo_leaves_trace (const BlBoard *board, GPtrArray *entries)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) judged = bl_evidence_judge (board, entries, &error);

  g_assert_no_error (error);
  for (guint i = 0; i < judged->len; i++)
    {
      const BlJudged *j = judged->pdata[i];

      if (j->verdict != NULL && j->verdict->evidence && j->verdict->best != j->band->good)
        return TRUE;
    }
  return FALSE;
}
