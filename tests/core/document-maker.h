/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

/* Makes valid board documents at random for property tests: a coin decides for each optional field
 * whether it is given. It knows the format from its description alone and shares nothing with the
 * reader; numbers are awkward on purpose. Include once, in a test program. */

#include <glib.h>
#include <jansson.h>

static gboolean
coin (GRand *rand)
{
  return g_rand_boolean (rand);
}

/* Sets a member by a coin; takes value. */
static void
maybe (GRand *rand, json_t *object, const char *key, json_t *value)
{
  if (coin (rand))
    json_object_set_new (object, key, value);
  else
    json_decref (value);
}

static json_t *
some_text (GRand *rand)
{
  static const char *const texts[]
    = { "",        "plain",  "two words", "\"quoted\" \\ back", "line\nend\ttab", "\001\037",
        "µΩ – ☃", "/:" };
  return json_string (texts[g_rand_int_range (rand, 0, G_N_ELEMENTS (texts))]);
}

static json_t *
some_number (GRand *rand, double from, double to)
{
  double value = g_rand_double_range (rand, from, to);
  return json_real (coin (rand) ? value : coin (rand) ? (double) (gint64) value : value / 3);
}

/* A positive value, as a number or in the trade's notation. */
static json_t *
some_quantity (GRand *rand, double value)
{
  char text[64];
  if (coin (rand))
    return json_real (value);
  g_ascii_formatd (text, sizeof text, "%.12f", value);
  return json_string (text);
}

static json_t *
some_id (GRand *rand, const char *prefix, guint n)
{
  return json_sprintf ("%s%u", prefix, g_rand_int_range (rand, 0, (gint) n));
}

static json_t *
points (GRand *rand, guint n)
{
  json_t *list = json_array ();
  for (guint i = 0; i < n; i++)
    json_array_append_new (list, json_pack ("[oo]", some_number (rand, -1e4, 1e4),
                                            some_number (rand, -1e4, 1e4)));
  return list;
}

static json_t *
element (GRand *rand, const char *prefix, guint i)
{
  json_t *json = json_object ();
  json_object_set_new (json, "id", json_sprintf ("%s%u", prefix, i));
  maybe (rand, json, "title", some_text (rand));
  maybe (rand, json, "notes", some_text (rand));
  return json;
}

#define MAKE_N 3 /* elements of each list, so that every reference has a target */

static json_t *
make_list (GRand *rand, const char *prefix, void (*fill) (GRand *, json_t *, guint))
{
  json_t *list = json_array ();
  for (guint i = 0; i < MAKE_N; i++)
    {
      json_t *json = element (rand, prefix, i);
      if (fill != NULL)
        fill (rand, json, i);
      json_array_append_new (list, json);
    }
  return list;
}

static json_t *
outlines (GRand *rand)
{
  json_t *list = json_array ();
  if (coin (rand))
    {
      json_t *outline
        = json_pack ("{so so}", "photo", some_id (rand, "ph", MAKE_N), "points", points (rand, 4));
      maybe (rand, outline, "notes", some_text (rand));
      json_array_append_new (list, outline);
    }
  return list;
}

static json_t *
passes (GRand *rand)
{
  static const char *const names[] = { "absent", "unsteady", "low", "high", "in band" };
  json_t *json = json_object ();
  for (guint d = 0; d < 4; d++)
    maybe (rand, json, names[d], json_string (names[g_rand_int_range (rand, 0, 5)]));
  maybe (rand, json, "notes", some_text (rand));
  return json;
}

static void
fill_state (GRand *rand, json_t *json, guint i)
{
  maybe (rand, json, "live", json_boolean (coin (rand)));
  maybe (rand, json, "volts", some_number (rand, 0, 400));
  maybe (rand, json, "enter_s", some_number (rand, 0, 90));
  maybe (rand, json, "lasts_s", some_number (rand, 10, 90));
  maybe (rand, json, "how", some_text (rand));
  maybe (rand, json, "dead_proof", json_pack ("[o]", some_id (rand, "M", MAKE_N)));
}

static void
fill_photo (GRand *rand, json_t *json, guint i)
{
  json_t *landmark = json_pack ("{ss}", "id", "L1");
  maybe (rand, landmark, "x", some_number (rand, 0, 1e4));
  maybe (rand, landmark, "y", some_number (rand, 0, 1e4));
  maybe (rand, landmark, "notes", some_text (rand));
  maybe (rand, json, "side", json_string (coin (rand) ? "front" : "back"));
  maybe (rand, json, "file", json_string ("photos/a b.jpg"));
  maybe (rand, json, "mm_per_px", json_real (0.1 / 3));
  maybe (rand, json, "landmarks", json_pack ("[o]", landmark));
}

static void
fill_section (GRand *rand, json_t *json, guint i)
{
  maybe (rand, json, "kind", some_text (rand));
  maybe (rand, json, "outlines", outlines (rand));
}

static json_t *
feed (GRand *rand, json_t *from)
{
  if (coin (rand))
    return from;
  json_t *json = json_pack ("{so}", "stage", from);
  maybe (rand, json, "passes", passes (rand));
  maybe (rand, json, "notes", some_text (rand));
  return json;
}

static json_t *
feeds (GRand *rand, guint i)
{
  json_t *json = json_object (), *from = json_array ();
  for (guint j = 0; j < i; j++)
    if (coin (rand))
      json_array_append_new (from, feed (rand, json_sprintf ("S%u", j)));
  if (coin (rand))
    json_array_append_new (from, feed (rand, json_string ("port:P1")));
  size_t n = json_array_size (from);
  maybe (rand, json, "passes", passes (rand));
  maybe (rand, json, "notes", some_text (rand));
  if (n == 0 || coin (rand))
    maybe (rand, json, "need", json_string ("all"));
  else
    maybe (rand, json, "need", coin (rand) ? json_string ("any") : json_integer ((json_int_t) n));
  if (n > 0 || coin (rand))
    json_object_set_new (json, "from", from);
  else
    json_decref (from);
  return json;
}

static void
fill_stage (GRand *rand, json_t *json, guint i)
{
  json_object_set_new (json, "section", some_id (rand, "se", MAKE_N));
  maybe (rand, json, "feeds", feeds (rand, i));
  maybe (rand, json, "passes", passes (rand));
  maybe (rand, json, "outlines", outlines (rand));
}

/* One name or a list, which may have one name too. */
static json_t *
one_or_list (GRand *rand, const char *a, const char *b)
{
  return coin (rand)   ? json_string (a)
         : coin (rand) ? json_pack ("[s]", a)
                       : json_pack ("[ss]", a, b);
}

static json_t *
effect (GRand *rand)
{
  json_t *json = json_object ();
  /* M2 is a resistance, M0 and M1 are voltages. */
  if (coin (rand))
    json_object_set_new (json, "is", one_or_list (rand, "low", "absent"));
  else if (coin (rand))
    json_object_update_new (json, json_pack ("{ss so}", "on", "M2", "is",
                                             one_or_list (rand, "open", "shorted")));
  else
    json_object_update_new (json, json_pack ("{so so}", "on", some_id (rand, "S", MAKE_N), "is",
                                             one_or_list (rand, "unsteady", "high")));
  maybe (rand, json, "in", json_pack ("[o]", some_id (rand, "st", MAKE_N)));
  maybe (rand, json, "notes", some_text (rand));
  return json;
}

static json_t *
mode (GRand *rand, const char *name, const char *provoked)
{
  json_t *json = json_pack ("{ss}", "mode", name);
  json_t *provokes = json_pack ("{ss ss}", "component", "C0", "mode", provoked);
  json_t *shows = json_pack ("{sf}", "", 0.25);
  maybe (rand, provokes, "chance", some_number (rand, 0, 1));
  maybe (rand, provokes, "notes", some_text (rand));
  maybe (rand, shows, "wet", some_number (rand, 0, 1));
  maybe (rand, shows, "notes", some_text (rand));
  maybe (rand, json, "weight", some_number (rand, 0, 10));
  maybe (rand, json, "shows", shows);
  maybe (rand, json, "effects", json_pack ("[oo]", effect (rand), effect (rand)));
  maybe (rand, json, "provokes", json_pack ("[o]", provokes));
  maybe (rand, json, "notes", some_text (rand));
  return json;
}

static void
fill_component (GRand *rand, json_t *json, guint i)
{
  json_object_set_new (json, "kind", json_string (coin (rand) ? "fuse" : "thing"));
  json_object_set_new (json, "stage", some_id (rand, "S", MAKE_N));
  maybe (rand, json, "value", some_text (rand));
  maybe (rand, json, "photo", some_id (rand, "ph", MAKE_N));
  maybe (rand, json, "x", some_number (rand, -5, 5000));
  maybe (rand, json, "y", some_number (rand, -5, 5000));
  maybe (rand, json, "weight", some_number (rand, 0, 10));
  maybe (rand, json, "test_s", some_number (rand, 0, 90));
  maybe (rand, json, "replace_s", some_number (rand, 0, 900));
  maybe (rand, json, "factor", some_number (rand, 0, 9));
  maybe (rand, json, "factor_reason", some_text (rand));
  json_t *modes = json_pack ("[oo]", mode (rand, "open", "poor contact"),
                             mode (rand, "poor contact", "open"));
  /* The first is what the others' modes provoke. */
  if (i == 0 || coin (rand))
    json_object_set_new (json, "modes", modes);
  else
    json_decref (modes);
}

static void
fill_test_point (GRand *rand, json_t *json, guint i)
{
  static const char *const grounds[] = { "hot", "isolated", "mains", "earth" };
  maybe (rand, json, "photo", some_id (rand, "ph", MAKE_N));
  maybe (rand, json, "x", some_number (rand, 0, 5000));
  maybe (rand, json, "y", some_number (rand, 0, 5000));
  maybe (rand, json, "ground", json_string (grounds[g_rand_int_range (rand, 0, 4)]));
  maybe (rand, json, "source_ohm", coin (rand) ? json_string ("4K7") : json_real (0));
}

static json_t *
follows (GRand *rand)
{
  json_t *json = json_pack ("{ss s[[ff][ff]]}", "measurement", "M0", "points", 0.1, 1.0, 0.3, 2.5);
  maybe (rand, json, "tolerance", json_real (0.03));
  maybe (rand, json, "notes", some_text (rand));
  return json;
}

static json_t *
expected_voltage (GRand *rand, guint i)
{
  json_t *json = json_object ();
  json_t *mark
    = json_pack ("{ss so so}", "id", "about half", "low", some_quantity (rand, 6), "high",
                 some_quantity (rand, 7));
  maybe (rand, mark, "notes", some_text (rand));
  if (coin (rand))
    {
      json_object_set_new (json, "nominal", some_quantity (rand, 12));
      json_object_set_new (json, "tolerance", json_string (coin (rand) ? "4 %" : "+5 %/-10 %"));
      maybe (rand, json, "marks", json_pack ("[o]", mark));
    }
  else
    {
      maybe (rand, json, "nominal", some_quantity (rand, 12));
      json_object_set_new (json, "low", some_quantity (rand, 11));
      maybe (rand, json, "high", some_quantity (rand, 13));
      maybe (rand, json, "absent_below", some_quantity (rand, 0.5));
      maybe (rand, json, "marks", json_pack ("[o]", mark));
    }
  maybe (rand, json, "follows", follows (rand));
  if (i == 0)
    json_object_del (json, "follows");
  return json;
}

static json_t *
expected_resistance (GRand *rand)
{
  json_t *json = json_object ();
  maybe (rand, json, "nominal", json_string ("980k"));
  maybe (rand, json, "low", json_string ("900k"));
  maybe (rand, json, "high", json_string ("1M1"));
  maybe (rand, json, "shorted_below", some_quantity (rand, 10));
  maybe (rand, json, "open_above", json_string ("20 Mohm"));
  return json;
}

static json_t *
expected_swing (GRand *rand)
{
  json_t *json = json_pack ("{s[oo] s[oo]}", "min", some_quantity (rand, 0.2),
                            some_quantity (rand, 1.0 / 3), "max", some_quantity (rand, 4.5),
                            some_quantity (rand, 5.5));
  maybe (rand, json, "span_below", some_quantity (rand, 0.1));
  return json;
}

static void
fill_measurement (GRand *rand, json_t *json, guint i)
{
  static const char *const volts[] = { "V DC", "V AC", "V pp" };
  gboolean swing = i == 1 && coin (rand), check = i == 1 && !swing && coin (rand);
  json_t *expected = swing    ? expected_swing (rand)
                     : check  ? json_pack ("{sb}", "answer", coin (rand))
                     : i == 2 ? expected_resistance (rand)
                              : expected_voltage (rand, i);
  maybe (rand, expected, "source", some_text (rand));
  maybe (rand, expected, "notes", some_text (rand));
  json_object_set_new (json, "measures",
                       json_string (swing    ? "swing"
                                    : check  ? "check"
                                    : i == 2 ? "ohm"
                                             : volts[g_rand_int_range (rand, 0, 3)]));
  json_object_set_new (json, "state", some_id (rand, "st", MAKE_N));
  maybe (rand, json, "at", some_id (rand, "TP", MAKE_N));
  maybe (rand, json, "black", some_id (rand, "TP", MAKE_N));
  if (i != 2)
    maybe (rand, json, "reads", some_id (rand, "S", MAKE_N));
  maybe (rand, json, "effort_s", some_number (rand, 10, 100));
  maybe (rand, json, "misread", some_number (rand, 0, 1));
  maybe (rand, json, "series", json_boolean (coin (rand)));
  maybe (rand, json, "expected", expected);
}

static void
fill_symptom (GRand *rand, json_t *json, guint i)
{
  json_t *when
    = json_pack ("{so so}", "on", some_id (rand, "S", MAKE_N), "is",
                 one_or_list (rand, "low", "high"));
  maybe (rand, when, "state", some_id (rand, "st", MAKE_N));
  maybe (rand, when, "notes", some_text (rand));
  maybe (rand, json, "when", json_pack ("[o]", when));
}

static json_t *
indication (GRand *rand)
{
  json_t *lamp = json_object ();
  json_t *json = json_pack ("{so}", "symptom", some_id (rand, "E", MAKE_N));
  maybe (rand, lamp, "lamp", some_text (rand));
  maybe (rand, lamp, "blinks", json_integer (2));
  maybe (rand, lamp, "rate_hz", json_real (2.5));
  maybe (rand, lamp, "steady", json_boolean (coin (rand)));
  maybe (rand, lamp, "notes", some_text (rand));
  maybe (rand, json, "edition", some_text (rand));
  maybe (rand, json, "pattern", json_pack ("[o]", lamp));
  maybe (rand, json, "notes", some_text (rand));
  return json;
}

static json_t *
odds (GRand *rand)
{
  json_t *json = json_object ();
  maybe (rand, json, "faults", some_number (rand, 0, 1));
  maybe (rand, json, "elsewhere", some_number (rand, 0, 1));
  maybe (rand, json, "other", some_number (rand, 0, 1));
  maybe (rand, json, "setup", some_number (rand, 0, 1));
  maybe (rand, json, "misreport", json_integer (0));
  maybe (rand, json, "notes", some_text (rand));
  return json;
}

/* What holds a charge in the first state, where there are components to name. */
static void
add_charge (GRand *rand, json_t *json)
{
  json_t *components = json_object_get (json, "components");
  json_t *state = json_array_get (json_object_get (json, "states"), 0);

  if (components == NULL || state == NULL)
    return;
  maybe (rand, state, "capacitor", json_copy (json_object_get (json_array_get (components, 0), "id")));
  maybe (rand, state, "bleeder", json_copy (json_object_get (json_array_get (components, 0), "id")));
}

static json_t *
make_root (GRand *rand)
{
  json_t *json = json_pack ("{ss si}", "format", "benchlore-board", "version", 1);
  json_t *mains = json_object ();
  maybe (rand, mains, "voltage", json_integer (230));
  maybe (rand, mains, "frequency", json_real (16.7));
  maybe (rand, mains, "notes", some_text (rand));
  maybe (rand, json, "uid", some_text (rand));
  maybe (rand, json, "maker", some_text (rand));
  maybe (rand, json, "model", some_text (rand));
  maybe (rand, json, "board_number", some_text (rand));
  maybe (rand, json, "edition", some_text (rand));
  maybe (rand, json, "mains", mains);
  maybe (rand, json, "odds", odds (rand));
  json_object_set_new (json, "states", make_list (rand, "st", fill_state));
  json_object_set_new (json, "photos", make_list (rand, "ph", fill_photo));
  json_object_set_new (json, "sections", make_list (rand, "se", fill_section));
  json_object_set_new (json, "ports", make_list (rand, "P", NULL));
  json_object_set_new (json, "stages", make_list (rand, "S", fill_stage));
  maybe (rand, json, "components", make_list (rand, "C", fill_component));
  json_object_set_new (json, "test_points", make_list (rand, "TP", fill_test_point));
  json_object_set_new (json, "measurements", make_list (rand, "M", fill_measurement));
  json_object_set_new (json, "symptoms", make_list (rand, "E", fill_symptom));
  maybe (rand, json, "indications", json_pack ("[o]", indication (rand)));
  maybe (rand, json, "notes", some_text (rand));
  add_charge (rand, json);
  return json;
}

/* Returns: (transfer full). */
static char *
make_document (GRand *rand)
{
  json_t *json = make_root (rand);
  char *dumped = json_dumps (json, JSON_REAL_PRECISION (17));
  char *text = g_strdup (dumped);
  free (dumped);
  json_decref (json);
  return text;
}
