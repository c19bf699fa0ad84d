/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is done to a board besides measuring: parts with what came out, what went in and why, photos as lines
 * of the log, minutes. Time that was counted is written without a step of undo, for who undoes wants his own
 * last act back; a struck line counts no more. */
#include "config.h"

#include "bl-bench-private.h"
#include "bl-bench-repair.h"
#include "bl-library-time.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

/* --- parts --- */

static char *
said (const char *text)
{
  g_autofree char *words = g_strstrip (g_strdup (text != NULL ? text : ""));

  return *words != '\0' ? g_steal_pointer (&words) : NULL;
}

gboolean
bl_bench_replaced_with (BlBench *self, const char *component, const char *old, const char *new, const char *why,
                        GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self) && component != NULL, FALSE);
  g_autofree char *text = said (new);
  g_autoptr (BlRecord) record = bl_record_new (BL_RECORD_REPLACED, component, text);

  record->old = said (old);
  record->why = said (why);
  return bl_bench_append (self, record, error);
}

gboolean
bl_bench_is_replaced (const char *text)
{
  return g_ascii_strcasecmp (text, "replaced") == 0 || g_ascii_strncasecmp (text, "replaced ", 9) == 0;
}

/* Cuts text at the first such word that stands by itself; returns what comes after it, NULL: it is not there. */
static char *
cut_at (char *text, const char *word)
{
  g_autofree char *padded = g_strdup_printf (" %s ", word);
  g_autofree char *lower = g_ascii_strdown (text, -1);
  char *at = strstr (lower, padded);

  if (at == NULL)
    return NULL;
  text += at - lower;
  *text = '\0';
  return text + strlen (padded);
}

gboolean
bl_bench_enter_replaced (BlBench *self, const char *component, const char *text, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self) && bl_bench_is_replaced (text), FALSE);
  /* A blank at either end, so that every word stands between two. */
  g_autofree char *words = g_strdup_printf (" %s ", text + strlen ("replaced"));
  const char *why = cut_at (words, "because"), *new = cut_at (words, "by");

  return bl_bench_replaced_with (self, component, words, new, why, error);
}

char *
bl_bench_typed_bare_replaced (BlBench *self, const char *text)
{
  g_return_val_if_fail (BL_IS_BENCH (self) && text != NULL, NULL);
  BlTyped typed = { 0 };
  char *component = NULL;

  if (bl_bench_read_typed (self, text, &typed, NULL) && typed.kind == BL_TYPED_PART
      && g_ascii_strcasecmp (typed.rest, "replaced") == 0)
    component = g_strdup (typed.component);
  bl_typed_clear (&typed);
  return component;
}

/* --- photos --- */

gint64
bl_bench_add_photo (BlBench *self, const char *title, const char *mime, GBytes *image, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self) && mime != NULL && image != NULL, 0);

  if (!bl_library_begin (self->library, _ ("keeping the photo"), error))
    return 0;
  gint64 id = bl_library_add_job_photo (self->library, self->job->id, title, mime, image, error);
  g_autofree char *subject = g_strdup_printf ("job:%" G_GINT64_FORMAT, id);
  g_autoptr (BlRecord) record = bl_record_new (BL_RECORD_PHOTO, subject, title);
  gboolean ok = id != 0 && bl_bench_append (self, record, error);
  if (bl_library_end (self->library, ok, _ ("keeping the photo"), ok ? error : NULL) && ok)
    return id;
  bl_bench_reload (self, NULL);
  return 0;
}

GBytes *
bl_bench_job_photo (BlBench *self, gint64 photo, char **mime, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  return bl_library_get_job_photo (self->library, photo, mime, error);
}

/* --- time --- */

static gboolean
append_time (BlBench *self, const char *what, double minutes, gboolean step, GError **error)
{
  char number[G_ASCII_DTOSTR_BUF_SIZE];

  g_ascii_formatd (number, sizeof number, "%.10g", minutes);
  g_autoptr (BlRecord) record = bl_record_new (BL_RECORD_TIME, what, number);
  if (step)
    return bl_bench_append (self, record, error);
  record->job = self->job->id;
  return bl_library_append (self->library, record, error) && bl_bench_reload (self, error);
}

/* Reads "1 h 30", "1.5 h", "90 min", "90" at the beginning; *rest is what follows. FALSE: none of these. */
static gboolean
read_minutes (const char *text, double *minutes, const char **rest)
{
  gboolean any = FALSE;

  *minutes = 0;
  for (const char *at = text;; )
    {
      char number[16];
      gsize n = 0;
      double value;
      at += strspn (at, " ");
      while (n + 1 < sizeof number && (g_ascii_isdigit (at[n]) || at[n] == '.' || at[n] == ','))
        n++;
      *rest = at;
      if (n == 0)
        return any;
      memcpy (number, at, n);
      number[n] = '\0';
      g_strdelimit (number, ",", '.');
      if (!bl_quantity_parse (number, NULL, &value, NULL))
        return FALSE;
      at += n;
      at += strspn (at, " ");
      gboolean hours = g_ascii_tolower (*at) == 'h' && !g_ascii_isalpha (at[1]);
      gsize length = hours ? 1 : g_ascii_strncasecmp (at, "min", 3) == 0 && !g_ascii_isalpha (at[3]) ? 3 : 0;
      *minutes += hours ? 60 * value : value;
      any = TRUE;
      at += length;
      *rest = at + strspn (at, " ");
      if (!hours)
        return TRUE;
    }
}

gboolean
bl_bench_enter_time (BlBench *self, const char *text, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self) && text != NULL, FALSE);
  g_autofree char *trimmed = g_strstrip (g_strdup (text));
  const char *rest = "";
  double minutes;

  if (!read_minutes (trimmed, &minutes, &rest) || !(minutes > 0 && minutes <= 24 * 60))
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE,
                   _ ("“%s” is no time spent: type minutes and what for, such as 25 soldering, or 1 h 30"), trimmed);
      return FALSE;
    }
  return append_time (self, *rest != '\0' ? rest : NULL, minutes, TRUE, error);
}

gboolean
bl_bench_count_time (BlBench *self, guint minutes, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  return minutes == 0 || append_time (self, BL_TIME_COUNTED, minutes, FALSE, error);
}

double
bl_bench_time_spent (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), 0);
  double sum = 0;

  for (guint i = 0; i < bl_len (self->records); i++)
    {
      const BlRecord *record = bl_at (self->records, i);
      if (record->kind == BL_RECORD_TIME && !record->struck && record->text != NULL)
        sum += g_ascii_strtod (record->text, NULL);
    }
  return sum;
}

char *
bl_minutes_words (double minutes)
{
  guint whole = (guint) lround (MAX (minutes, 0));

  if (whole < 60)
    return g_strdup_printf (_ ("%u min"), whole);
  return g_strdup_printf (_ ("%u h %02u min"), whole / 60, whole % 60);
}
