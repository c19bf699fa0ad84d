/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the rules of a document are made of: ids, references, ranges, and the loops of feeds.
 * The rules themselves are in bl-board-validate.c and bl-measurement-validate.c. References go
 * through hash tables, so a board of ten thousand elements is checked in a blink too. */
#include "config.h"

#include "bl-check.h"

#include <glib/gi18n-lib.h>

GHashTable *
bl_check_index (const GPtrArray *list)
{
  GHashTable *table = g_hash_table_new (g_str_hash, g_str_equal);
  for (guint i = 0; i < bl_len (list); i++)
    {
      char *id = *(char **) bl_at (list, i);
      if (id != NULL && !g_hash_table_contains (table, id))
        g_hash_table_insert (table, id, bl_at (list, i));
    }
  return table;
}

void
bl_check_init (BlCheck *check, const BlBoard *board, BlReport *report)
{
  *check = (BlCheck){ board,
                      report,
                      bl_check_index (board->states),
                      bl_check_index (board->photos),
                      bl_check_index (board->sections),
                      bl_check_index (board->ports),
                      bl_check_index (board->stages),
                      bl_check_index (board->components),
                      bl_check_index (board->test_points),
                      bl_check_index (board->measurements),
                      bl_check_index (board->symptoms) };
}

void
bl_check_clear (BlCheck *check)
{
  g_hash_table_unref (check->states);
  g_hash_table_unref (check->photos);
  g_hash_table_unref (check->sections);
  g_hash_table_unref (check->ports);
  g_hash_table_unref (check->stages);
  g_hash_table_unref (check->components);
  g_hash_table_unref (check->test_points);
  g_hash_table_unref (check->measurements);
  g_hash_table_unref (check->symptoms);
}

static gboolean
is_id (const char *id)
{
  for (const char *c = id; *c != '\0'; c = g_utf8_next_char (c))
    {
      gunichar u = g_utf8_get_char (c);
      if (g_unichar_isspace (u) || g_unichar_iscntrl (u) || u == '/' || u == ':')
        return FALSE;
    }
  return TRUE;
}

void
bl_check_ids (BlCheck *check, const GPtrArray *list, const char *key, const BlPath *path)
{
  g_autoptr (GHashTable) seen = g_hash_table_new (g_str_hash, g_str_equal);
  /* A mode's name is no id: "poor contact". */
  gboolean blanks = g_str_equal (key, "mode");
  for (guint i = 0; i < bl_len (list); i++)
    {
      char *id = *(char **) bl_at (list, i);
      BlPath element = BL_PATH_INDEX (path, i), at = BL_PATH_KEY (&element, key);
      gpointer first = NULL;
      if (id == NULL)
        bl_report_error (check->report, &at, _("required, but left out"));
      else if (!g_utf8_validate (id, -1, NULL))
        bl_report_error (check->report, &at, _("not UTF-8"));
      else if (id[0] == '\0')
        bl_report_error (check->report, &at, _("must not be empty"));
      else if (!blanks && !is_id (id))
        bl_report_error (check->report, &at, _("“%s”: an id has no blank, “/” or “:”"), id);
      else if (g_hash_table_lookup_extended (seen, id, NULL, &first))
        {
          g_autofree char *other =
              bl_path_to_text (&BL_PATH_INDEX (path, GPOINTER_TO_UINT (first)));
          bl_report_error (check->report, &at, _("“%s” is the %s of %s already"), id, key, other);
        }
      else
        g_hash_table_insert (seen, id, GUINT_TO_POINTER (i));
    }
}

void
bl_check_reference (BlCheck *check,
                    GHashTable *table,
                    const char *id,
                    gboolean required,
                    const char *what,
                    const BlPath *path,
                    const char *key)
{
  BlPath at = BL_PATH_KEY (path, key);
  if (id == NULL && required)
    bl_report_error (check->report, &at, _("required, but left out: the id of a %s"), what);
  else if (id != NULL && !g_hash_table_contains (table, id))
    bl_report_error (check->report, &at, _("there is no %s “%s”"), what, id);
}

void
bl_check_range (BlCheck *check,
                double value,
                double from,
                double to,
                gboolean above,
                const BlPath *path,
                const char *key)
{
  BlPath at = BL_PATH_KEY (path, key);
  if (isnan (value) || (isfinite (value) && value <= to && (above ? value > from : value >= from)))
    return;
  if (!isfinite (value))
    bl_report_error (check->report, &at, _("must be finite"));
  else if (isfinite (to))
    bl_report_error (check->report, &at, _("%g is out of range: expected %g to %g"), value, from,
                     to);
  else
    bl_report_error (check->report, &at,
                     above ? _("%g is out of range: expected more than %g")
                           : _("%g is out of range: expected at least %g"),
                     value, from);
}

/* A stage on the way the search for loops has come, and the feed to look at next. */
typedef struct
{
  const BlStage *stage;
  guint index, next;
} Step;

static void
report_loop (BlCheck *check,
             const GArray *way,
             guint begin,
             const BlPath *stages,
             const BlPath *elsewhere)
{
  /* The way goes against the feeds; told is who feeds whom. */
  g_autoptr (GString) names = g_string_new (g_array_index (way, Step, begin).stage->id);
  for (guint i = way->len; i-- > begin;)
    g_string_append_printf (names, " -> %s", g_array_index (way, Step, i).stage->id);
  BlPath stage = BL_PATH_INDEX (stages, g_array_index (way, Step, begin).index);
  bl_report_error (check->report, elsewhere != NULL ? elsewhere : &BL_PATH_KEY (&stage, "feeds"),
                   _("loop of feeds: %s"), names->str);
}

enum
{
  NEW,
  ON_WAY,
  DONE
};

/* Goes from a stage to all that feed it, depth first and without recursion: a chain may be long. */
static void
search_loops (BlCheck *check,
              guint start,
              GHashTable *index_of,
              int *marks,
              const BlPath *stages,
              const BlPath *elsewhere)
{
  g_autoptr (GArray) way = g_array_new (FALSE, FALSE, sizeof (Step));
  Step first = { bl_at (check->board->stages, start), start, 0 };
  marks[start] = ON_WAY;
  g_array_append_val (way, first);
  while (way->len > 0)
    {
      Step *step = &g_array_index (way, Step, way->len - 1);
      if (step->next >= bl_len (step->stage->feeds))
        {
          marks[step->index] = DONE;
          g_array_set_size (way, way->len - 1);
          continue;
        }
      const BlFeed *feed = bl_at (step->stage->feeds, step->next++);
      gpointer found = feed->from != NULL ? g_hash_table_lookup (check->stages, feed->from) : NULL;
      if (found == NULL)
        continue;
      guint index = GPOINTER_TO_UINT (g_hash_table_lookup (index_of, found));
      if (marks[index] == NEW)
        {
          Step next = { found, index, 0 };
          marks[index] = ON_WAY;
          g_array_append_val (way, next);
        }
      else if (marks[index] == ON_WAY)
        {
          guint begin = way->len - 1;
          while (g_array_index (way, Step, begin).index != index)
            begin--;
          report_loop (check, way, begin, stages, elsewhere);
        }
    }
}

void
bl_check_feed_loops (BlCheck *check, const BlPath *stages, const BlPath *elsewhere)
{
  guint n = bl_len (check->board->stages);
  g_autofree int *marks = g_new0 (int, n + 1);
  g_autoptr (GHashTable) index_of = g_hash_table_new (NULL, NULL);
  for (guint i = 0; i < n; i++)
    g_hash_table_insert (index_of, bl_at (check->board->stages, i), GUINT_TO_POINTER (i));
  for (guint i = 0; i < n; i++)
    if (marks[i] == NEW)
      search_loops (check, i, index_of, marks, stages, elsewhere);
}
