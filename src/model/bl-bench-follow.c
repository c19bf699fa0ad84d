/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bands that follow the reading of another measurement. Such a band is a rule and not a pair of limits: when the
 * other is read again, what was read under the rule is judged anew, on the screen and for the odds. The log keeps
 * the verdict that was given at the time. What has changed by it is said in one line. A change of the document alone
 * changes no verdict, here as elsewhere. */
#include "config.h"

#include "bl-bench-private.h"
#include "bl-format.h"

#include <glib/gi18n-lib.h>
#include <string.h>

static gboolean
follows (const BlBoard *board, const char *id)
{
  const BlMeasurement *measurement = id != NULL ? bl_board_measurement (board, id) : NULL;
  return measurement != NULL && measurement->expected.follows != NULL;
}

/* The reading of a measurement that counted when before was entered (NULL: that counts now); NULL: none. */
static const BlRecord *
counting (GPtrArray *records, const char *id, const BlRecord *before)
{
  const BlRecord *found = NULL;

  for (guint i = 0; i < bl_len (records) && bl_at (records, i) != before; i++)
    {
      const BlRecord *record = bl_at (records, i);
      if (record->kind == BL_RECORD_READING && g_strcmp0 (record->subject, id) == 0
          && (!record->struck || (before != NULL && record->struck_time > before->time))
          && !(record->verdict != NULL && (record->verdict->not_reached || record->verdict->reversed)))
        found = record;
    }
  return found;
}

gboolean
bl_bench_follow_outdated (const BlBoard *board, GPtrArray *records, const BlRecord *record)
{
  const char *followed;

  g_return_val_if_fail (board != NULL && record != NULL, FALSE);
  /* 'reversed' waits for the technician to say what it was; no band decides that. */
  if (!follows (board, record->subject) || (record->verdict != NULL && record->verdict->reversed))
    return FALSE;
  followed = record->band != NULL ? record->band->followed
                                  : bl_board_measurement (board, record->subject)->expected.follows->measurement;
  return followed != NULL && counting (records, followed, record) != counting (records, followed, NULL);
}

void
bl_bench_follow_entries (const BlBoard *board, GPtrArray *records, GPtrArray *entries)
{
  guint at = 0;

  g_return_if_fail (board != NULL);
  for (guint i = 0; i < bl_len (records); i++)
    {
      const BlRecord *record = bl_at (records, i);
      BlEntry *entry;
      if (record->kind != BL_RECORD_READING || record->struck)
        continue;
      while (at < bl_len (entries) && ((BlEntry *) bl_at (entries, at))->kind != BL_ENTRY_READING)
        at++;
      entry = at < bl_len (entries) ? bl_at (entries, at) : NULL;
      /* What cannot be read any more is no entry. */
      if (entry == NULL || g_strcmp0 (entry->subject, record->subject) != 0
          || g_strcmp0 (entry->text, record->text) != 0)
        continue;
      at++;
      if (entry->judged != NULL && bl_bench_follow_outdated (board, records, record))
        g_clear_pointer (&entry->judged, bl_verdict_free);
    }
}

GPtrArray *
bl_bench_judge_followers (BlBench *self)
{
  const BlBoard *board = bl_bench_get_board (self);
  gboolean any = FALSE;

  for (guint i = 0; i < bl_len (self->records) && !any; i++)
    {
      const BlRecord *record = bl_at (self->records, i);
      any = record->kind == BL_RECORD_READING && !record->struck
            && bl_bench_follow_outdated (board, self->records, record);
    }
  if (!any)
    return NULL;
  g_autoptr (GPtrArray) entries = bl_bench_entries (self);
  g_autoptr (GPtrArray) judged = bl_evidence_judge (board, entries, NULL);
  if (judged == NULL)
    return NULL;
  for (guint i = 0; i < judged->len; i++)
    ((BlJudged *) bl_at (judged, i))->entry = NULL; /* entries go */
  return g_steal_pointer (&judged);
}

const BlJudged *
bl_judged_last (GPtrArray *judged, const char *measurement)
{
  for (guint i = bl_len (judged); i > 0; i--)
    {
      const BlJudged *one = bl_at (judged, i - 1);
      if (g_strcmp0 (one->measurement->id, measurement) == 0)
        return one;
    }
  return NULL;
}

double
bl_bench_followed_value (BlBench *self, const BlMeasurement *measurement)
{
  const BlFollows *line = measurement->expected.follows;
  const BlMeasurement *other
    = line != NULL ? bl_board_measurement (bl_bench_get_board (self), line->measurement) : NULL;

  for (guint i = self->records->len; other != NULL && i > 0; i--)
    {
      const BlRecord *record = bl_at (self->records, i - 1);
      BlReading reading;
      if (record->struck || record->kind != BL_RECORD_READING || g_strcmp0 (record->subject, other->id) != 0
          || (record->verdict != NULL && (record->verdict->not_reached || record->verdict->reversed))
          || !bl_reading_parse (record->text, other->measures, &reading, NULL)
          || reading.kind == BL_READING_NOT_REACHED)
        continue;
      if (reading.kind != BL_READING_VALUE)
        return NAN;
      /* Corrected for the source's resistance, as it was judged. */
      return record->verdict != NULL && isfinite (record->verdict->value) ? record->verdict->value : reading.value;
    }
  return NAN;
}

/* --- what has changed --- */

/* measurement -> word it was shown with, of those that follow and were read. (transfer full) */
GHashTable *
bl_bench_follower_words (BlBench *self)
{
  GHashTable *words = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);

  for (guint i = 0; i < g_list_model_get_n_items (G_LIST_MODEL (self->items)); i++)
    {
      g_autoptr (BlMeasurementItem) item = g_list_model_get_item (G_LIST_MODEL (self->items), i);
      const BlRecord *record = bl_measurement_item_get_record (item);
      if (record == NULL || bl_measurement_item_is_old (item)
          || !follows (bl_bench_get_board (self), bl_measurement_item_get_id (item)))
        continue;
      g_hash_table_insert (
        words, g_strdup (bl_measurement_item_get_id (item)),
        g_strdup_printf ("%" G_GINT64_FORMAT " %s", record->id, bl_measurement_item_get_word (item)));
    }
  return words;
}

/* "LN now 218 V AC" */
static char *
followed_now (BlBench *self, const char *id)
{
  const BlMeasurement *other = bl_board_measurement (bl_bench_get_board (self), id);
  BlMeasurementItem *item = bl_bench_find (self, id);
  BlReading reading;

  if (other == NULL || item == NULL || !bl_measurement_item_get_reading (item, &reading))
    return g_strdup_printf (_ ("%s is unread now"), id);
  g_autofree char *value = bl_format_reading (other->measures, &reading);
  return g_strdup_printf (_ ("%s is %s %s now"), id, value, bl_measurement_item_get_unit (item));
}

void
bl_bench_say_followers (BlBench *self, GHashTable *before)
{
  g_autoptr (GHashTable) now = bl_bench_follower_words (self);
  g_autoptr (GString) said = g_string_new (NULL);
  GHashTableIter iter;
  gpointer id, old;
  const char *followed = NULL;

  g_clear_pointer (&self->follow_words, g_free);
  g_hash_table_iter_init (&iter, before);
  while (g_hash_table_iter_next (&iter, &id, &old))
    {
      const char *new = g_hash_table_lookup (now, id);
      const BlMeasurement *measurement = bl_board_measurement (bl_bench_get_board (self), id);
      /* The same reading, shown with another word. */
      if (new == NULL || measurement == NULL || g_ascii_strtoll (old, NULL, 10) != g_ascii_strtoll (new, NULL, 10)
          || g_str_equal (old, new))
        continue;
      followed = measurement->expected.follows->measurement;
      g_string_append_printf (said, _ ("%s%s is %s, was %s"), said->len > 0 ? "; " : "", (char *) id,
                              strchr (new, ' ') + 1, strchr (old, ' ') + 1);
    }
  if (said->len == 0)
    return;
  g_autofree char *cause = followed_now (self, followed);
  self->follow_words = g_strdup_printf (_ ("%s, so %s"), cause, said->str);
}

char *
bl_bench_take_follow_words (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  return g_steal_pointer (&self->follow_words);
}
