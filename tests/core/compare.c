/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Compares two diagnoses as printed; for tests that know the answer another way. */
#include "config.h"

#include "compare.h"

#include <math.h>
#include <string.h>

typedef struct
{
  GString *report; /* what differs */
  guint compared;
} Compare;

static void compare (Compare *self, const char *path, json_t *ours, json_t *theirs);

static const char *
key_of (json_t *item)
{
  const char *keys[] = { "id", "mode", "black", "state", "measurement" };
  for (guint i = 0; i < G_N_ELEMENTS (keys); i++)
    if (json_object_get (item, keys[i]) != NULL)
      return json_string_value (json_object_get (item, keys[i]));
  return NULL;
}

static gboolean
same_item (json_t *a, json_t *b)
{
  if (!json_is_object (a))
    return FALSE;
  return g_strcmp0 (key_of (a), key_of (b)) == 0
         && json_integer_value (json_object_get (a, "round"))
              == json_integer_value (json_object_get (b, "round"));
}

/* Sets of readings: as many, and each of one among the other. */
static void
compare_sets (Compare *self, const char *path, json_t *ours, json_t *theirs)
{
  size_t i, j;
  json_t *a, *b;
  json_array_foreach (ours, i, a)
    {
      gboolean found = FALSE;
      json_array_foreach (theirs, j, b)
        found |= json_equal (a, b);
      if (!found)
        {
          g_autofree char *text = json_dumps (a, 0);
          g_string_append_printf (self->report, "%s: extra set %s\n", path, text);
        }
    }
}

static void
compare_lists (Compare *self, const char *path, json_t *ours, json_t *theirs)
{
  size_t i, j;
  json_t *a, *b;
  double before = INFINITY;
  if (json_array_size (ours) != json_array_size (theirs))
    g_string_append_printf (self->report, "%s: %d items instead of %d\n", path,
                            (int) json_array_size (ours), (int) json_array_size (theirs));
  if (json_is_array (json_array_get (ours, 0)))
    {
      compare_sets (self, path, ours, theirs);
      return;
    }
  json_array_foreach (ours, i, a)
    {
      g_autofree char *at = g_strdup_printf ("%s/%s", path, key_of (a));
      json_t *match = NULL;
      json_array_foreach (theirs, j, b)
        if (same_item (a, b))
          match = b;
      if (match == NULL)
        g_string_append_printf (self->report, "%s: not expected\n", at);
      else
        compare (self, at, a, match);
      json_t *p = json_object_get (a, "probability");
      if (p != NULL && !g_str_has_suffix (path, "setup"))
        {
          if (json_number_value (p) > before)
            g_string_append_printf (self->report, "%s: out of order\n", at);
          before = json_number_value (p);
        }
    }
}

/* Chances of classes: one that isn't listed has none. */
static void
compare_classes (Compare *self, const char *path, json_t *ours, json_t *theirs)
{
  const char *key;
  json_t *value;
  json_object_foreach (ours, key, value)
    if (!(fabs (json_number_value (value) - json_number_value (json_object_get (theirs, key))) <= 1e-12))
      g_string_append_printf (self->report, "%s/%s: other chance\n", path, key);
  json_object_foreach (theirs, key, value)
    if (json_object_get (ours, key) == NULL && json_number_value (value) > 1e-12)
      g_string_append_printf (self->report, "%s/%s: missing\n", path, key);
}

static void
compare (Compare *self, const char *path, json_t *ours, json_t *theirs)
{
  const char *key;
  json_t *value;
  if (json_is_number (ours) && json_is_number (theirs))
    {
      double a = json_number_value (ours), b = json_number_value (theirs);
      double tolerance = g_str_has_suffix (path, "decibans") ? 1e-7 : 1e-9;
      self->compared++;
      if (!(fabs (a - b) <= tolerance))
        g_string_append_printf (self->report, "%s: %.17g instead of %.17g\n", path, a, b);
    }
  else if (json_typeof (ours) != json_typeof (theirs))
    {
      g_autofree char *a = json_dumps (ours, JSON_ENCODE_ANY), *b = json_dumps (theirs, JSON_ENCODE_ANY);
      g_string_append_printf (self->report, "%s: %s instead of %s\n", path, a, b);
    }
  else if (json_is_array (ours))
    compare_lists (self, path, ours, theirs);
  else if (g_str_has_suffix (path, "/classes"))
    compare_classes (self, path, ours, theirs);
  else if (json_is_object (ours))
    {
      if (json_object_size (ours) != json_object_size (theirs))
        g_string_append_printf (self->report, "%s: other keys\n", path);
      json_object_foreach (ours, key, value)
        {
          g_autofree char *at = g_strdup_printf ("%s/%s", path, key);
          if (json_object_get (theirs, key) == NULL)
            g_string_append_printf (self->report, "%s: not expected\n", at);
          else
            compare (self, at, value, json_object_get (theirs, key));
        }
    }
  else if (!json_equal (ours, theirs))
    g_string_append_printf (self->report, "%s: other value\n", path);
}

char *
compare_diagnoses (json_t *ours, json_t *theirs, guint *compared)
{
  Compare self = { g_string_new (NULL), 0 };
  compare (&self, "", ours, theirs);
  *compared += self.compared;
  return g_string_free (self.report, FALSE);
}
