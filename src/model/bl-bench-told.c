/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings told by somebody who was elsewhere: how they are kept apart from those taken at the bench.
 *
 * They are evidence like any other, with a higher chance that another value was meant: numbers are misheard, leads put to
 * the wrong terminal, states mixed up. Nothing else follows from them here: the board on the bench was not live because
 * somebody on a roof had power, so neither its declared state nor a proof of dead changes. */
#include "config.h"

#include "bl-bench-told.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-bench-private.h"

static char *
trimmed (const char *name)
{
  char *text = g_strstrip (g_strdup (name != NULL ? name : ""));

  if (*text == '\0')
    g_clear_pointer (&text, g_free);
  return text;
}

void
bl_bench_set_told_by (BlBench *self, const char *name)
{
  g_return_if_fail (BL_IS_BENCH (self));
  g_autofree char *told = trimmed (name);

  if (g_strcmp0 (told, self->told_by) == 0)
    return;
  g_free (self->told_by);
  self->told_by = g_steal_pointer (&told);
  bl_bench_announce (self);
}

const char *
bl_bench_get_told_by (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  return self->told_by;
}

const char *
bl_bench_last_told_by (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  for (guint i = bl_len (self->records); i-- > 0;)
    {
      const BlRecord *record = bl_at (self->records, i);
      if (record->told_by != NULL && *record->told_by != '\0')
        return record->told_by;
    }
  return NULL;
}

void
bl_bench_mark_told (BlBench *self, const BlMeasurement *measurement, BlRecord *record)
{
  if (self->told_by == NULL)
    return;
  record->told_by = g_strdup (self->told_by);
  record->misread = isnan (measurement->misread) ? BL_TOLD_MISREAD : MAX (measurement->misread, BL_TOLD_MISREAD);
  record->unproven = FALSE;
  g_clear_pointer (&record->meter, g_free);
  g_free (record->state);
  record->state = g_strdup (measurement->state);
}

gboolean
bl_bench_enter_told (BlBench *self, const char *measurement, const char *text, const char *name, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self) && measurement != NULL && text != NULL, FALSE);
  BlMeasurementItem *item = bl_bench_find (self, measurement);
  g_autofree char *told = trimmed (name), *entered = g_strstrip (g_strdup (text));

  if (item == NULL)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("There is no measurement “%s” in this job"),
                   measurement);
      return FALSE;
    }
  if (told == NULL)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, _ ("Who told it? A name is needed"));
      return FALSE;
    }
  char *before = self->told_by;
  self->told_by = told;
  gboolean kept = bl_bench_keep_reading (self, item, entered, error);
  self->told_by = before;
  if (kept)
    bl_bench_announce (self); /* what was told during the entry shows who is asked from now on */
  return kept;
}

char *
bl_record_told_words (const BlRecord *record)
{
  g_return_val_if_fail (record != NULL, NULL);
  if (record->told_by == NULL || *record->told_by == '\0')
    return NULL;
  /* Translators: a reading was told by somebody, whose name follows */
  return g_strdup_printf (_ ("told by %s"), record->told_by);
}

char *
bl_bench_told_words (BlBench *self, const char *measurement)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  for (guint i = bl_len (self->records); measurement != NULL && i-- > 0;)
    {
      const BlRecord *record = bl_at (self->records, i);
      if (record->kind == BL_RECORD_READING && !record->struck && g_strcmp0 (record->subject, measurement) == 0)
        return bl_record_told_words (record);
    }
  return NULL;
}
