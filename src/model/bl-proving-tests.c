/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Soak and electrical safety as lines of the bench log.
 *
 * A soak is two lines, its begin with the minutes meant and its end with what was found: the time between is
 * theirs, so it runs on while the program does not, and no clock is kept. A value of the safety test is kept
 * with the limit that it was compared with, for the shop may change that later. Texts of these lines are the
 * same in every language, since they are read back; bl_proving_record_words () says them. */
#include "config.h"

#include "bl-format.h"
#include "bl-proving-private.h"

#include <glib/gi18n-lib.h>
#include <stdio.h>
#include <string.h>

#define SOAK "soak"
#define BEGIN "begin "
#define END "end "
#define SAFETY "safety:"
#define MINUTE ((gint64) 60 * G_USEC_PER_SEC)

/* --- soak --- */

/* "begin 30 min" or "end 31 min; ...": the minutes; FALSE: not that. */
static gboolean
minutes_of (const BlRecord *record, const char *which, guint *minutes)
{
  return record->text != NULL && g_str_has_prefix (record->text, which)
         && sscanf (record->text + strlen (which), "%u min", minutes) == 1;
}

void
bl_proving_soak (BlBench *bench, gint64 now, BlSoak *soak)
{
  g_return_if_fail (BL_IS_BENCH (bench) && soak != NULL);
  const BlRecord *last = bl_proving_last (bench, BL_RECORD_TEST, SOAK, TRUE);
  GPtrArray *records = bl_bench_get_records (bench);
  gssize from = bl_proving_repair_place (bench);

  *soak = (BlSoak){ .state = BL_SOAK_NONE };
  /* Ends and begins take turns, but a struck one leaves two of a kind. */
  for (gssize i = from + 1; last != NULL && i < (gssize) bl_len (records); i++)
    {
      const BlRecord *record = bl_at (records, (guint) i);
      guint minutes = 0;
      if (record->struck || record->kind != BL_RECORD_TEST || g_strcmp0 (record->subject, SOAK) != 0)
        continue;
      if (minutes_of (record, BEGIN, &minutes))
        *soak = (BlSoak){ BL_SOAK_RUNNING, record->time, record->time + minutes * MINUTE, minutes, NULL };
      else if (minutes_of (record, END, &minutes) && soak->state != BL_SOAK_NONE)
        {
          gboolean good = record->verdict == NULL || record->band == NULL
                          || record->verdict->best == record->band->good;
          soak->state = !good ? BL_SOAK_FAILED : minutes < soak->minutes ? BL_SOAK_SHORT : BL_SOAK_PASSED;
          soak->ends = record->time;
          soak->ended = record;
        }
    }
  if (soak->state == BL_SOAK_RUNNING && now >= soak->ends)
    soak->state = BL_SOAK_OVER;
}

gboolean
bl_proving_soak_begin (BlBench *bench, guint minutes, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (bench), FALSE);

  if (minutes == 0)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, _ ("a soak takes at least one minute"));
      return FALSE;
    }
  g_autofree char *text = g_strdup_printf (BEGIN "%u min", minutes);
  g_autoptr (BlRecord) record = bl_record_new (BL_RECORD_TEST, SOAK, text);
  return bl_bench_append (bench, record, error);
}

gboolean
bl_proving_soak_end (BlBench *bench, gboolean good, const char *words, gint64 now, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (bench), FALSE);
  BlSoak soak;

  bl_proving_soak (bench, now, &soak);
  if (soak.state != BL_SOAK_RUNNING && soak.state != BL_SOAK_OVER)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, _ ("no soak is running"));
      return FALSE;
    }
  /* Lines made at once stand a microsecond apart: that must not cost a minute. */
  gint64 minutes = MAX (0, now - soak.begun + G_USEC_PER_SEC / 2) / MINUTE;
  gboolean more = words != NULL && *words != '\0';
  g_autofree char *text = g_strdup_printf (END "%" G_GINT64_FORMAT " min%s%s", minutes, more ? "; " : "",
                                           more ? words : "");
  g_autoptr (BlRecord) record = bl_proving_answered (SOAK, text, good);
  return bl_bench_append (bench, record, error);
}

/* --- the equipment tested --- */

void
bl_proving_unit (BlBench *bench, BlSafetyUnit *unit, gboolean *has_class)
{
  g_return_if_fail (BL_IS_BENCH (bench) && unit != NULL);
  const BlRecord *said = bl_proving_last (bench, BL_RECORD_TEST, SAFETY "class", FALSE);
  const BlRecord *cord = bl_proving_last (bench, BL_RECORD_TEST, SAFETY "cord", FALSE);
  const BlRecord *heater = bl_proving_last (bench, BL_RECORD_TEST, SAFETY "heater", FALSE);

  *unit = (BlSafetyUnit){ BL_SAFETY_CLASS_1, 0, 0 };
  gboolean known = said != NULL && bl_safety_class_parse (said->text, &unit->safety_class);
  if (has_class != NULL)
    *has_class = known;
  if (cord != NULL)
    bl_quantity_parse (cord->text, "m", &unit->cord_m, NULL);
  if (heater != NULL)
    bl_quantity_parse (heater->text, "W", &unit->heater_w, NULL);
}

static gboolean
append_test (BlBench *bench, const char *subject, const char *text, GError **error)
{
  g_autoptr (BlRecord) record = bl_record_new (BL_RECORD_TEST, subject, text);
  return bl_bench_append (bench, record, error);
}

gboolean
bl_proving_set_class (BlBench *bench, BlSafetyClass safety_class, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (bench) && safety_class < BL_N_SAFETY_CLASSES, FALSE);
  return append_test (bench, SAFETY "class", bl_safety_class_name (safety_class), error);
}

/* "1,5 m" or "1.5": metres. A prefix would be a slip: nobody has a cord of 5 Mm. */
static gboolean
read_cord (const char *text, double *metres)
{
  g_autofree char *number = g_strdup (text);
  gsize length = strlen (number);

  if (length > 0 && number[length - 1] == 'm')
    number[length - 1] = '\0';
  g_strstrip (number);
  return bl_quantity_parse (number, NULL, metres, NULL) && *metres >= 0 && *metres <= 200;
}

static gboolean
read_heater (const char *text, double *watts)
{
  return bl_quantity_parse (text, "W", watts, NULL) && *watts >= 0 && *watts <= 100e3;
}

gboolean
bl_proving_set_unit (BlBench *bench, const char *text, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (bench) && text != NULL, FALSE);
  g_auto (GStrv) parts = g_strsplit (text, ";", -1);
  double cord = NAN, heater = NAN;

  for (guint i = 0; parts[i] != NULL; i++)
    {
      const char *part = g_strstrip (parts[i]);
      gboolean watts = g_str_has_suffix (part, "W");
      if (*part == '\0')
        continue;
      if (watts ? !read_heater (part, &heater) : !read_cord (part, &cord))
        {
          g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE,
                       _ ("“%s” is not understood: the cord in metres, then heating elements, such as 3 m; 2 kW"),
                       part);
          return FALSE;
        }
    }
  g_autofree char *metres = g_strdup_printf ("%g", cord), *watts = g_strdup_printf ("%g W", heater);
  g_autofree char *cord_text = bl_quantity_with_point (metres), *heater_text = bl_quantity_with_point (watts);
  return (isnan (cord) || append_test (bench, SAFETY "cord", cord_text, error))
         && (isnan (heater) || append_test (bench, SAFETY "heater", heater_text, error));
}

/* --- electrical safety --- */

static char *
subject_of (BlSafetyTest test)
{
  return g_strconcat (SAFETY, bl_safety_test_name (test), NULL);
}

const BlRecord *
bl_proving_safety_record (BlBench *bench, BlSafetyTest test)
{
  g_return_val_if_fail (BL_IS_BENCH (bench) && test < BL_N_SAFETY_TESTS, NULL);
  g_autofree char *subject = subject_of (test);

  return bl_proving_last (bench, BL_RECORD_TEST, subject, TRUE);
}

const char *
bl_safety_test_title (BlSafetyTest test)
{
  switch (test)
    {
    case BL_SAFETY_CONDUCTOR:
      return _ ("Protective conductor");
    case BL_SAFETY_INSULATION:
      return _ ("Insulation");
    case BL_SAFETY_CONDUCTOR_CURRENT:
      return _ ("Protective conductor current");
    case BL_SAFETY_CONTACT_CURRENT:
      return _ ("Contact current");
    case BL_N_SAFETY_TESTS:
    default:
      return "";
    }
}

const char *
bl_safety_test_unit (BlSafetyTest test)
{
  return test == BL_SAFETY_CONDUCTOR ? "Ω" : test == BL_SAFETY_INSULATION ? "MΩ" : "mA";
}

char *
bl_safety_limit_words (const BlSafetyLimits *limits, const BlSafetyUnit *unit, BlSafetyTest test)
{
  double limit = bl_safety_limit (limits, unit, test);
  double scale = test == BL_SAFETY_CONDUCTOR ? 1 : test == BL_SAFETY_INSULATION ? 1e-6 : 1e3;

  if (isnan (limit))
    return NULL;
  return g_strdup_printf ("%s %.4g %s", test == BL_SAFETY_INSULATION ? "≥" : "≤", limit * scale,
                          bl_safety_test_unit (test));
}

/* Figures of a tester come without a unit: it is the one of its display. */
static char *
with_unit (const char *text, BlSafetyTest test)
{
  gsize length = strlen (text);

  return length > 0 && g_ascii_isdigit (text[length - 1])
           ? g_strdup_printf ("%s %s", text, bl_safety_test_unit (test))
           : g_strdup (text);
}

gboolean
bl_proving_safety (BlBench *bench, const BlSafetyLimits *limits, const char *source, BlSafetyTest test,
                   const char *text, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (bench) && limits != NULL && text != NULL, FALSE);
  g_autofree char *trimmed = g_strstrip (g_strdup (text)), *typed = with_unit (trimmed, test);
  g_autofree char *subject = subject_of (test);
  gboolean has_class;
  BlSafetyUnit unit;
  BlReading reading;

  bl_proving_unit (bench, &unit, &has_class);
  g_autoptr (BlBand) band = bl_safety_band (limits, &unit, test, source);
  if (!has_class || band == NULL)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID,
                   has_class ? _ ("this is not measured on equipment of class %s") : _ ("which class is it? %s"),
                   has_class ? bl_safety_class_name (unit.safety_class) : "I, II, III");
      return FALSE;
    }
  if (!bl_reading_parse (typed, bl_safety_measures (test), &reading, error))
    return FALSE;
  if (reading.kind == BL_READING_VALUE && reading.value < 0)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, _ ("a value below 0 was not measured"));
      return FALSE;
    }
  g_autofree char *words = bl_safety_limit_words (limits, &unit, test);
  g_autoptr (BlRecord) record = bl_record_new (BL_RECORD_TEST, subject, typed);
  record->expected = source != NULL && *source != '\0' ? g_strdup_printf ("%s (%s)", words, source)
                                                       : g_steal_pointer (&words);
  record->verdict = bl_judge (band, &reading, NULL, NAN, 0);
  record->band = g_steal_pointer (&band);
  return bl_bench_append (bench, record, error);
}

/* --- words --- */

static char *
soak_words (const BlRecord *record)
{
  const char *more = record->text != NULL ? strstr (record->text, "; ") : NULL;
  guint minutes = 0;

  if (minutes_of (record, BEGIN, &minutes))
    return g_strdup_printf (ngettext ("begun, %u minute", "begun, %u minutes", minutes), minutes);
  if (!minutes_of (record, END, &minutes))
    return g_strdup (record->text != NULL ? record->text : "");
  gboolean good = record->verdict == NULL || record->band == NULL || record->verdict->best == record->band->good;
  g_autofree char *words
    = good ? g_strdup_printf (ngettext ("ended after %u minute, the fault did not come back",
                                        "ended after %u minutes, the fault did not come back", minutes), minutes)
           : g_strdup_printf (ngettext ("ended after %u minute: a fault", "ended after %u minutes: a fault", minutes),
                              minutes);
  return g_strconcat (words, more != NULL ? more : "", NULL);
}

static const char *
answer_word (const char *text)
{
  return g_str_equal (text, "yes") ? _ ("yes") : g_str_equal (text, "no") ? _ ("no") : text;
}

char *
bl_proving_record_words (const BlRecord *record, char **rest)
{
  g_return_val_if_fail (record != NULL && rest != NULL, NULL);
  const char *subject = record->subject != NULL ? record->subject : "";
  const char *text = record->text != NULL ? record->text : "";
  BlSafetyTest test;

  if (g_str_equal (subject, SOAK))
    {
      *rest = soak_words (record);
      return g_strdup (_ ("soak"));
    }
  if (g_str_has_prefix (subject, "functional:"))
    {
      *rest = g_strdup_printf ("%s %s", subject + strlen ("functional:"), answer_word (text));
      return g_strdup (_ ("function"));
    }
  if (g_str_equal (subject, SAFETY "visual"))
    {
      *rest = g_strdup_printf (_ ("cord, plug, housing whole: %s"), answer_word (text));
      return g_strdup (_ ("looked at"));
    }
  if (g_str_equal (subject, SAFETY "class"))
    {
      *rest = g_strdup_printf (_ ("class %s"), text);
      return g_strdup (_ ("safety test"));
    }
  if (g_str_equal (subject, SAFETY "cord") || g_str_equal (subject, SAFETY "heater"))
    {
      *rest = g_strdup_printf (g_str_equal (subject, SAFETY "cord") ? _ ("cord %s m") : _ ("heating elements %s"), text);
      return g_strdup (_ ("safety test"));
    }
  if (g_str_has_prefix (subject, SAFETY) && bl_safety_test_parse (subject + strlen (SAFETY), &test))
    {
      /* The figure first: a narrow column cuts the end. */
      g_autofree char *title = g_strdup (bl_safety_test_title (test));
      *rest = g_strdup_printf ("%s %s", title, record->expected != NULL ? record->expected : "");
      return g_strdup_printf (_ ("safety  %s"), text);
    }
  *rest = g_strdup (text);
  return g_strdup (*subject != '\0' ? subject : _ ("test"));
}
