/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bands and verdicts as text in the bench log.
 *
 * A later change of the document must not change what was judged in the past, so a reading keeps
 * its band and verdict whole. JSON has no infinity and no not-a-number, and both mean something
 * here (a limit left out, no class): "inf", "-inf" and null stand for them. Half a kilobyte a
 * reading. */
#include "config.h"

#include "bl-record-json.h"

#include "bl-store-error.h"

#include <glib/gi18n-lib.h>
#include <jansson.h>

#include <math.h>
#include <stdlib.h>

static json_t *
from_number (double value)
{
  if (isnan (value))
    return json_null ();
  if (isinf (value))
    return json_string (value > 0 ? "inf" : "-inf");
  return json_real (value);
}

static double
to_number (const json_t *value)
{
  const char *text = json_string_value (value);

  if (text != NULL)
    return g_str_equal (text, "inf") ? INFINITY : g_str_equal (text, "-inf") ? -INFINITY : NAN;
  return json_is_number (value) ? json_number_value (value) : NAN;
}

static double
number (const json_t *object, const char *key)
{
  return to_number (json_object_get (object, key));
}

static gboolean
truth (const json_t *object, const char *key)
{
  return json_is_true (json_object_get (object, key));
}

static json_t *
from_names (char **names)
{
  json_t *array = json_array ();

  for (guint i = 0; names != NULL && names[i] != NULL; i++)
    json_array_append_new (array, json_string (names[i]));
  return array;
}

/* NULL when array is no array of strings. (transfer full) */
static char **
to_names (const json_t *array, guint *n)
{
  g_autoptr (GPtrArray) names = g_ptr_array_new_with_free_func (g_free);
  gsize i;
  json_t *item;

  if (!json_is_array (array))
    return NULL;
  json_array_foreach (array, i, item)
  {
    if (!json_is_string (item))
      return NULL;
    g_ptr_array_add (names, g_strdup (json_string_value (item)));
  }
  *n = names->len;
  g_ptr_array_add (names, NULL);
  return (char **) g_ptr_array_free (g_steal_pointer (&names), FALSE);
}

static char *
dump (json_t *object)
{
  char *text = json_dumps (object, JSON_COMPACT | JSON_REAL_PRECISION (17));
  char *copy = g_strdup (text);

  free (text);
  json_decref (object);
  return copy;
}

static json_t *
load (const char *text, GError **error)
{
  json_error_t reason;
  json_t *root = json_loads (text, 0, &reason);

  if (json_is_object (root))
    return root;
  json_decref (root);
  g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_CORRUPT,
               _ ("a kept band or verdict cannot be read: %s"), reason.text);
  return NULL;
}

static json_t *
from_pair (const double pair[2])
{
  json_t *array = json_array ();

  json_array_append_new (array, from_number (pair[0]));
  json_array_append_new (array, from_number (pair[1]));
  return array;
}

static void
to_pair (const json_t *array, double pair[2])
{
  pair[0] = to_number (json_array_get (array, 0));
  pair[1] = to_number (json_array_get (array, 1));
}

static json_t *
from_marks (const GArray *marks)
{
  json_t *array = json_array ();

  for (guint i = 0; marks != NULL && i < marks->len; i++)
    {
      const BlBandMark *mark = &g_array_index (marks, BlBandMark, i);
      json_t *object = json_object ();
      json_object_set_new (object, "class", json_integer (mark->class_index));
      json_object_set_new (object, "low", from_number (mark->low));
      json_object_set_new (object, "high", from_number (mark->high));
      json_array_append_new (array, object);
    }
  return array;
}

char *
bl_band_to_json (const BlBand *band)
{
  json_t *object;

  if (band == NULL)
    return NULL;
  object = json_object ();
  json_object_set_new (object, "measures", json_string (bl_measures_name (band->measures)));
  json_object_set_new (object, "nominal", from_number (band->nominal));
  json_object_set_new (object, "low", from_number (band->low));
  json_object_set_new (object, "high", from_number (band->high));
  json_object_set_new (object, "absent_below", from_number (band->absent_below));
  json_object_set_new (object, "shorted_below", from_number (band->shorted_below));
  json_object_set_new (object, "open_above", from_number (band->open_above));
  json_object_set_new (object, "min", from_pair (band->min));
  json_object_set_new (object, "max", from_pair (band->max));
  json_object_set_new (object, "span_below", from_number (band->span_below));
  json_object_set_new (object, "answer", json_boolean (band->answer));
  json_object_set_new (object, "negative", json_boolean (band->negative));
  json_object_set_new (object, "magnitude", json_boolean (band->magnitude));
  json_object_set_new (object, "follows", json_boolean (band->follows));
  json_object_set_new (object, "slope", from_number (band->slope));
  if (band->followed != NULL)
    json_object_set_new (object, "followed", json_string (band->followed));
  json_object_set_new (object, "classes", from_names (band->classes));
  json_object_set_new (object, "good", json_integer (band->good));
  json_object_set_new (object, "marks", from_marks (band->marks));
  if (band->source != NULL)
    json_object_set_new (object, "source", json_string (band->source));
  return dump (object);
}

static gboolean
to_marks (const json_t *array, BlBand *band)
{
  gsize i;
  json_t *item;

  band->marks = g_array_new (FALSE, FALSE, sizeof (BlBandMark));
  json_array_foreach (array, i, item)
  {
    json_int_t index = json_integer_value (json_object_get (item, "class"));
    BlBandMark mark = { (guint) index, number (item, "low"), number (item, "high") };
    if (index < 0 || (guint) index >= band->n_classes)
      return FALSE;
    g_array_append_val (band->marks, mark);
  }
  return TRUE;
}

static gboolean
fill_band (BlBand *band, const json_t *object)
{
  const char *measures = json_string_value (json_object_get (object, "measures"));
  json_int_t good = json_integer_value (json_object_get (object, "good"));

  if (measures == NULL || !bl_measures_parse (measures, &band->measures))
    return FALSE;
  band->nominal = number (object, "nominal");
  band->low = number (object, "low");
  band->high = number (object, "high");
  band->absent_below = number (object, "absent_below");
  band->shorted_below = number (object, "shorted_below");
  band->open_above = number (object, "open_above");
  to_pair (json_object_get (object, "min"), band->min);
  to_pair (json_object_get (object, "max"), band->max);
  band->span_below = number (object, "span_below");
  band->answer = truth (object, "answer");
  band->negative = truth (object, "negative");
  band->magnitude = truth (object, "magnitude");
  band->follows = truth (object, "follows");
  band->slope = number (object, "slope");
  band->followed = g_strdup (json_string_value (json_object_get (object, "followed")));
  band->source = g_strdup (json_string_value (json_object_get (object, "source")));
  band->classes = to_names (json_object_get (object, "classes"), &band->n_classes);
  if (band->classes == NULL || good < 0 || (guint) good >= band->n_classes)
    return FALSE;
  band->good = (guint) good;
  return to_marks (json_object_get (object, "marks"), band);
}

BlBand *
bl_band_from_json (const char *text, GError **error)
{
  g_autoptr (BlBand) band = NULL;
  json_t *object;
  gboolean ok;

  if (text == NULL || (object = load (text, error)) == NULL)
    return NULL;
  band = g_new0 (BlBand, 1);
  ok = fill_band (band, object);
  json_decref (object);
  if (ok)
    return g_steal_pointer (&band);
  g_set_error_literal (error, BL_STORE_ERROR, BL_STORE_ERROR_CORRUPT,
                       _ ("a kept band is incomplete"));
  return NULL;
}

char *
bl_verdict_to_json (const BlVerdict *verdict)
{
  json_t *object, *weights;

  if (verdict == NULL)
    return NULL;
  object = json_object ();
  weights = json_array ();
  for (guint i = 0; i < verdict->n; i++)
    json_array_append_new (weights, from_number (verdict->weights[i]));
  json_object_set_new (object, "classes", from_names (verdict->classes));
  json_object_set_new (object, "weights", weights);
  json_object_set_new (object, "best", json_integer (verdict->best));
  json_object_set_new (object, "second", json_integer (verdict->second));
  json_object_set_new (object, "certain", json_boolean (verdict->certain));
  json_object_set_new (object, "evidence", json_boolean (verdict->evidence));
  json_object_set_new (object, "reversed", json_boolean (verdict->reversed));
  json_object_set_new (object, "not_reached", json_boolean (verdict->not_reached));
  json_object_set_new (object, "u", from_number (verdict->u));
  json_object_set_new (object, "value", from_number (verdict->value));
  return dump (object);
}

static gboolean
fill_verdict (BlVerdict *verdict, const json_t *object)
{
  const json_t *weights = json_object_get (object, "weights");
  json_int_t best = json_integer_value (json_object_get (object, "best"));
  json_int_t second = json_integer_value (json_object_get (object, "second"));

  verdict->classes = to_names (json_object_get (object, "classes"), &verdict->n);
  if (verdict->classes == NULL || json_array_size (weights) != verdict->n)
    return FALSE;
  /* A verdict without a band has no classes at all; best and second are 0 then. */
  if (best < 0 || second < 0 || (guint) best >= MAX (verdict->n, 1) ||
      (guint) second >= MAX (verdict->n, 1))
    return FALSE;
  verdict->weights = g_new0 (double, MAX (verdict->n, 1));
  for (guint i = 0; i < verdict->n; i++)
    verdict->weights[i] = to_number (json_array_get (weights, i));
  verdict->best = (guint) best;
  verdict->second = (guint) second;
  verdict->certain = truth (object, "certain");
  verdict->evidence = truth (object, "evidence");
  verdict->reversed = truth (object, "reversed");
  verdict->not_reached = truth (object, "not_reached");
  verdict->u = number (object, "u");
  verdict->value = number (object, "value");
  return TRUE;
}

BlVerdict *
bl_verdict_from_json (const char *text, GError **error)
{
  g_autoptr (BlVerdict) verdict = NULL;
  json_t *object;
  gboolean ok;

  if (text == NULL || (object = load (text, error)) == NULL)
    return NULL;
  verdict = g_new0 (BlVerdict, 1);
  ok = fill_verdict (verdict, object);
  json_decref (object);
  if (ok)
    return g_steal_pointer (&verdict);
  g_set_error_literal (error, BL_STORE_ERROR, BL_STORE_ERROR_CORRUPT,
                       _ ("a kept verdict is incomplete"));
  return NULL;
}
